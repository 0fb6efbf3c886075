"""The same operations as JSON, described by OpenAPI."""
