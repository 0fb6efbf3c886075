BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE analysis (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	dive_id INTEGER, 
	cylinder TEXT NOT NULL, 
	o2_pct DOUBLE NOT NULL, 
	he_pct DOUBLE, 
	gauge_bar DOUBLE NOT NULL, 
	by_name TEXT NOT NULL, 
	by_person_id INTEGER, 
	analysed_at DATETIME NOT NULL, 
	CONSTRAINT fk_analysis_dive_id FOREIGN KEY(dive_id) REFERENCES dive (id) ON DELETE SET NULL, 
	CONSTRAINT fk_analysis_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE SET NULL, 
	CONSTRAINT ck_analysis_o2_range CHECK (o2_pct between 0 and 100), 
	CONSTRAINT ck_analysis_he_range CHECK (he_pct between 0 and 100), 
	CONSTRAINT ck_analysis_sum CHECK (o2_pct + he_pct <= 100), 
	CONSTRAINT ck_analysis_gauge_range CHECK (gauge_bar between 0 and 500)
);
INSERT INTO "analysis" VALUES(1,1,'T7',10.2,69.5,231.0,'Anker Windlass',1,'2031-05-04 12:00:00.000000');
INSERT INTO "analysis" VALUES(2,NULL,'S3',49.8,NULL,205.5,'Old Tam',NULL,'2031-05-04 12:00:00.000000');
CREATE TABLE dive (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	on_date DATE NOT NULL, 
	plan_id INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT fk_dive_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id)
);
INSERT INTO "dive" VALUES(1,'2031-06-01',2,1,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000');
CREATE TABLE login (
	token_sha256 TEXT NOT NULL, 
	created_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	CONSTRAINT pk_login PRIMARY KEY (token_sha256)
);
INSERT INTO "login" VALUES('3675c1770cbf7293f76a2436462c17cd818621879e7fbae620c4e3a55db66790','2031-05-04 12:00:00.000000','2031-05-05 12:00:00.000000');
CREATE TABLE password (
	id INTEGER NOT NULL, 
	argon2 TEXT NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT pk_password PRIMARY KEY (id), 
	CONSTRAINT ck_password_only_one CHECK (id = 1)
);
INSERT INTO "password" VALUES(1,'$argon2id$no-password-at-all','2031-05-04 12:00:00.000000');
CREATE TABLE person (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	name TEXT NOT NULL, 
	contact TEXT NOT NULL, 
	emergency_contact TEXT NOT NULL, 
	medical_on DATE, 
	medical_until DATE, 
	version INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT ck_person_medical_in_order CHECK (medical_until >= medical_on)
);
INSERT INTO "person" VALUES(1,'Anker Windlass','the pier','Berit, 555-0101','2031-01-07',NULL,1,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000');
CREATE TABLE "plan" (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title TEXT NOT NULL, 
	units TEXT NOT NULL, 
	text TEXT NOT NULL, 
	earlier_plan_id INTEGER, 
	status TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	changed_at DATETIME NOT NULL, 
	trashed_at DATETIME, 
	CONSTRAINT fk_plan_earlier_plan_id FOREIGN KEY(earlier_plan_id) REFERENCES "plan" (id), 
	CONSTRAINT ck_plan_units CHECK (units in ('metric', 'imperial')), 
	CONSTRAINT ck_plan_status CHECK (status in ('draft', 'ready', 'dived')), 
	CONSTRAINT ck_plan_earlier_is_another CHECK (earlier_plan_id <> id)
);
INSERT INTO "plan" VALUES(1,'The gallery, 78 m','metric','title = "The gallery, 78 m"
units = "metric"
',NULL,'draft',1,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000',NULL);
INSERT INTO "plan" VALUES(2,'The wall, 96 m','metric','# A build-up week, dive 6 of 6. Site, team and dives are invented; see ../README.md.
#
# Sunday, after a day ashore: the foot of the Stair. The bottom gas is breathable from 8 m down;
# 21/35 is the way there, and the first gas on the way home.

schema = "slatewright/plan/1"
title = "The wall, 96 m"
units = "metric"

[water]
kind = "sea"
temperature_c = 11

[diver]
name = "Mirren"
rmv_swimming_l_per_min = 17
rmv_resting_l_per_min = 15
rmv_stressed_l_per_min = 28
narcotic_limit_m = 30
descent_m_per_min = 20

[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 18
rmv_resting_l_per_min = 16
rmv_stressed_l_per_min = 28

[[partner]]
name = "Casper"
rmv_swimming_l_per_min = 18
rmv_resting_l_per_min = 17
rmv_stressed_l_per_min = 30
gauge = "psi"           # his gauges came with him

[reserve]
inflation_l = 80        # wing and suit, from the back
surface_swim_min = 3

[model]
gradient_low_pct = 30
gradient_high_pct = 80
last_stop_m = 3         # oxygen costs far less of the CNS share at 3 m than at 6 m

[ascent]
to_first_stop_m_per_min = 9
between_stops_m_per_min = 6
to_surface_m_per_min = 3
switch_min = 1

[breaks]
on_min = 12
off_min = 6
gas = "21/35"           # 10/70 cannot be breathed at 6 m

[[gas]]
mix = "10/70"
use = "bottom"

[[gas]]
mix = "21/35"
use = ["travel", "decompression"]
travel_to_m = 36        # breathable to 56 m at 1.4 bar; left sooner, so that all is calm by 40 m
switch_at_m = 45        # not at 63 m, where it may be breathed, but is dense and narcotic

[[gas]]
mix = "EAN50"
use = "decompression"
switch_at_m = 21

[[gas]]
mix = "O2"
use = "decompression"
switch_at_m = 6

[[cylinder]]
gas = "10/70"
size = "stage 11.1"    # breathed first; what is on the back is for the way home
pressure_bar = 205
place = "stage"
diver = ["Mirren", "Tove", "Casper"]

[[cylinder]]
gas = "10/70"
size = "twin 18"
pressure_bar = 230
place = "back"
diver = ["Mirren", "Tove", "Casper"]

[[cylinder]]
gas = "21/35"
size = "single 15"    # of steel: breaks from oxygen take much of it
pressure_bar = 225
place = "left"
diver = ["Mirren", "Tove", "Casper"]

[[cylinder]]
gas = "EAN50"
size = "stage 11.1"
pressure_bar = 205
place = "left"
diver = ["Mirren", "Tove", "Casper"]

[[cylinder]]
gas = "O2"
size = "stage 11.1"
pressure_bar = 200
place = "right"
diver = ["Mirren", "Tove", "Casper"]

[[level]]
depth_m = 96
leave_at_min = 18

[earlier]
plan = "5-the-gallery.toml"
surface_interval = "1 d 21:30"
',1,'draft',2,'2031-05-04 12:00:00.000000','2031-05-04 12:03:00.000000',NULL);
INSERT INTO "plan" VALUES(3,'Untitled','metric','title = ''it''''s; -- "quoted" – 深''
',NULL,'draft',2,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000');
CREATE TABLE plan_text (
	plan_id INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	saved_at DATETIME NOT NULL, 
	CONSTRAINT pk_plan_text PRIMARY KEY (plan_id, version), 
	CONSTRAINT fk_plan_text_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id) ON DELETE CASCADE
);
INSERT INTO "plan_text" VALUES(2,1,'title = "a start"
','2031-05-04 12:00:00.000000');
CREATE TABLE setting (
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY (name)
);
INSERT INTO "setting" VALUES('house-rules','floor_bar = 0.18
',1,'2031-05-04 12:00:00.000000');
CREATE TABLE signature (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	plan_id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	text_sha256 TEXT NOT NULL, 
	by_name TEXT NOT NULL, 
	by_person_id INTEGER, 
	signed_at DATETIME NOT NULL, 
	CONSTRAINT fk_signature_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id) ON DELETE CASCADE, 
	CONSTRAINT fk_signature_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE SET NULL, 
	CONSTRAINT ck_signature_kind CHECK (kind in ('check', 'sign-off'))
);
INSERT INTO "signature" VALUES(1,2,'check','423602df364b9244e25fddc7b8579516fe4542ce98fd67957403d8271467b245','Anker Windlass',1,'2031-05-04 12:00:00.000000');
CREATE INDEX ix_plan_earlier_plan_id ON "plan" (earlier_plan_id);
CREATE INDEX ix_dive_on_date ON dive (on_date);
CREATE INDEX ix_dive_plan_id ON dive (plan_id);
CREATE INDEX ix_analysis_dive_id ON analysis (dive_id);
CREATE INDEX ix_analysis_cylinder_analysed_at ON analysis (cylinder, analysed_at);
CREATE INDEX ix_analysis_by_person_id ON analysis (by_person_id);
CREATE INDEX ix_signature_plan_id ON signature (plan_id);
CREATE INDEX ix_signature_by_person_id ON signature (by_person_id);
CREATE INDEX ix_login_expires_at ON login (expires_at);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('plan',3);
INSERT INTO "sqlite_sequence" VALUES('person',1);
INSERT INTO "sqlite_sequence" VALUES('dive',1);
INSERT INTO "sqlite_sequence" VALUES('analysis',2);
INSERT INTO "sqlite_sequence" VALUES('signature',1);
COMMIT;
