// A swap of our own beside those of htmx, `hx-swap="patch"`: what came is laid over what is there, and
// only what differs is touched. A keystroke changes many numbers of the bench and little of its build,
// and to lay out a page anew takes the browser longer than all else; the morphing of htmx, which asks
// about each node, loses again what that saves. What htmx listens to is put in new, as in any other
// swap; so is what says `data-new`, for which a request may be on its way.

const ELEMENT = Node.ELEMENT_NODE;

function isNew(node) {
  for (const { name } of node.attributes) if (name.startsWith("hx-") || name === "data-new") return true;
  return false;
}

function setAttributes(old, fresh) {
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  if (old.attributes.length > fresh.attributes.length) {
    for (const { name } of [...old.attributes]) {
      const unfolded = name === "open" && old.nodeName === "DETAILS"; // by a person
      if (!fresh.hasAttribute(name) && !unfolded) old.removeAttribute(name);
    }
  }
  if (old.nodeName === "INPUT") old.checked = fresh.checked;
}

function cut(parent, from, to) { // all from one child up to another, that one excluded
  while (from !== to) {
    const next = from.nextSibling;
    parent.removeChild(from);
    from = next;
  }
}

function lay(old, fresh, put) {
  let at = old.firstChild;
  let one = fresh.firstChild;
  while (one) {
    const next = one.nextSibling;
    let there = at;
    if (one.nodeType !== ELEMENT) {
      if (!there || there.nodeType !== one.nodeType) there = null;
      else if (there.data !== one.data) there.data = one.data;
    } else if (isNew(one)) {
      there = null;
    } else {
      while (there && (there.nodeName !== one.nodeName || there.id !== one.id)) there = there.nextSibling;
      if (there) {
        setAttributes(there, one);
        if (one.firstChild || there.firstChild) lay(there, one, put);
      }
    }
    if (there) {
      cut(old, at, there);
      at = there.nextSibling;
    } else {
      old.insertBefore(one, at);
      if (one.nodeType === ELEMENT) put.push(one);
    }
    one = next;
  }
  cut(old, at, null);
}

window.htmx.registerExtension("patch", {
  handle_swap(style, target, fragment) {
    if (style !== "patch") return false;
    const put = [];
    lay(target, fragment, put);
    return put;
  },
});
