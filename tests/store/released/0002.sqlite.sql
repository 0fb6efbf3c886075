BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0002');
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
CREATE TABLE certificate (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	person_id INTEGER NOT NULL, 
	title TEXT NOT NULL, 
	level TEXT NOT NULL, 
	kinds TEXT NOT NULL, 
	issued_on DATE, 
	number TEXT NOT NULL, 
	created_at DATETIME NOT NULL, 
	CONSTRAINT fk_certificate_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE CASCADE
);
INSERT INTO "certificate" VALUES(1,1,'a card','','["trimix"]','2029-02-28','','2031-05-04 12:00:00.000000');
CREATE TABLE course (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title TEXT NOT NULL, 
	text TEXT NOT NULL, 
	status TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT ck_course_status CHECK (status in ('planned', 'running', 'done'))
);
INSERT INTO "course" VALUES(1,'Two weeks','title = "Two weeks"
','planned',2,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000');
CREATE TABLE course_note (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	course_id INTEGER NOT NULL, 
	dive TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	text TEXT NOT NULL, 
	by_name TEXT NOT NULL, 
	by_person_id INTEGER, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT fk_course_note_course_id FOREIGN KEY(course_id) REFERENCES course (id) ON DELETE CASCADE, 
	CONSTRAINT fk_course_note_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE SET NULL, 
	CONSTRAINT ck_course_note_kind CHECK (kind in ('briefed', 'achieved', 'lost day'))
);
INSERT INTO "course_note" VALUES(1,1,'1','briefed','','Anker Windlass',1,'2031-05-04 12:00:00.000000');
CREATE TABLE course_text (
	course_id INTEGER NOT NULL, 
	version INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	saved_at DATETIME NOT NULL, 
	CONSTRAINT pk_course_text PRIMARY KEY (course_id, version), 
	CONSTRAINT fk_course_text_course_id FOREIGN KEY(course_id) REFERENCES course (id) ON DELETE CASCADE
);
INSERT INTO "course_text" VALUES(1,1,'title = "A week"
','2031-05-04 12:00:00.000000');
INSERT INTO "course_text" VALUES(1,2,'title = "Two weeks"
','2031-05-04 12:00:00.000000');
CREATE TABLE debrief (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	plan_id INTEGER NOT NULL, 
	on_date DATE NOT NULL, 
	text TEXT NOT NULL, 
	by_name TEXT NOT NULL, 
	by_person_id INTEGER, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT fk_debrief_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id) ON DELETE CASCADE, 
	CONSTRAINT fk_debrief_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE SET NULL
);
INSERT INTO "debrief" VALUES(1,2,'2031-05-03','as planned','Anker Windlass',1,'2031-05-04 12:00:00.000000');
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
CREATE TABLE logbook (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	person_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	file_sha256 TEXT NOT NULL, 
	read_at DATETIME NOT NULL, 
	CONSTRAINT fk_logbook_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE CASCADE
);
INSERT INTO "logbook" VALUES(1,1,'log.csv','0000000000000000000000000000000000000000000000000000000000000000','2031-05-04 12:00:00.000000');
CREATE TABLE logged_dive (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	person_id INTEGER NOT NULL, 
	logbook_id INTEGER, 
	on_date DATE NOT NULL, 
	text TEXT NOT NULL, 
	CONSTRAINT fk_logged_dive_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE CASCADE, 
	CONSTRAINT fk_logged_dive_logbook_id FOREIGN KEY(logbook_id) REFERENCES logbook (id) ON DELETE CASCADE
);
INSERT INTO "logged_dive" VALUES(1,1,1,'2030-08-03','{"on":"2030-08-03","at":"10:05:00","min":61.5,"depth":[150,"ft"],"mixes":[[0.18,0.45],[0.5,0.0]],"circuit":"open circuit","role":"diver","stops":null,"with":[],"kit":[],"number":"","place":"","remark":"it''''s; 深","from":["by hand",0]}');
CREATE TABLE login (
	token_sha256 TEXT NOT NULL, 
	created_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	CONSTRAINT pk_login PRIMARY KEY (token_sha256)
);
INSERT INTO "login" VALUES('bc98e07986482f32b2e7e17ac68d2c15dd9992f234d7812d6b6902639cf25e7f','2031-05-04 12:00:00.000000','2031-05-05 12:00:00.000000');
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
	changed_at DATETIME NOT NULL, born_on DATE, 
	CONSTRAINT ck_person_medical_in_order CHECK (medical_until >= medical_on)
);
INSERT INTO "person" VALUES(1,'Anker Windlass','the pier','Berit, 555-0101','2031-01-07',NULL,1,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000',NULL);
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

[rig]                   # weighed at the jetty before the first dive of the week
wing_lift_kg = 27
droppable_kg = 2
fixed_ballast_kg = 3
suit = "drysuit"
suit_gas_l = 10
person_buoyancy_kg = -3 # with steel plate, lamps and reels
second_lift_kg = 15

[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 18
rmv_resting_l_per_min = 16
rmv_stressed_l_per_min = 28

[partner.rig]
wing_lift_kg = 27
droppable_kg = 2
fixed_ballast_kg = 2
suit = "drysuit"
suit_gas_l = 9
person_buoyancy_kg = -3
second_lift_kg = 15

[[partner]]
name = "Casper"
rmv_swimming_l_per_min = 18
rmv_resting_l_per_min = 17
rmv_stressed_l_per_min = 30
gauge = "psi"           # his gauges came with him

[partner.rig]
wing_lift_kg = 27
droppable_kg = 2
fixed_ballast_kg = 5
suit = "drysuit"
suit_gas_l = 11
person_buoyancy_kg = -3
second_lift_kg = 15

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
CREATE TABLE sealed (
	course_id INTEGER NOT NULL, 
	digest TEXT NOT NULL, 
	text TEXT NOT NULL, 
	salt TEXT NOT NULL, 
	about_person_id INTEGER, 
	by_person_id INTEGER, 
	CONSTRAINT pk_sealed PRIMARY KEY (course_id, digest), 
	CONSTRAINT fk_sealed_course_id FOREIGN KEY(course_id) REFERENCES course (id), 
	CONSTRAINT fk_sealed_about_person_id FOREIGN KEY(about_person_id) REFERENCES person (id) ON DELETE CASCADE, 
	CONSTRAINT fk_sealed_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE CASCADE
);
INSERT INTO "sealed" VALUES(1,'8f199343f21d739e902057f1290d5800b2dfcc908b224ff5396ced5889f17146','Anker Windlass','8d0d3b36de3eabd8f5ea58c6b45c551d',1,NULL);
INSERT INTO "sealed" VALUES(1,'26ee54b52bc2b8b6e264018a18273743f6ce33d2a5a967940cc62a336748a9a5','Old Tam','e2e12139e41f4be99f76c65b2b7a65be',NULL,NULL);
INSERT INTO "sealed" VALUES(1,'14e7d5db4dfd8760525b6d321138caa74c322f37b08baea80e40c0772f3b7a85','calm','48ad1d5ab824d95632fe75b473b48844',1,NULL);
CREATE TABLE set_aside (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	logbook_id INTEGER NOT NULL, 
	line INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	reasons TEXT NOT NULL, 
	CONSTRAINT fk_set_aside_logbook_id FOREIGN KEY(logbook_id) REFERENCES logbook (id) ON DELETE CASCADE
);
INSERT INTO "set_aside" VALUES(1,1,7,'31.02.2030;12','["no such day"]');
CREATE TABLE setting (
	name TEXT NOT NULL, 
	value TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	changed_at DATETIME NOT NULL, 
	CONSTRAINT pk_setting PRIMARY KEY (name)
);
INSERT INTO "setting" VALUES('house-rules','floor_bar = 0.18
',1,'2031-05-04 12:00:00.000000');
CREATE TABLE sign_off (
	course_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	text TEXT NOT NULL, 
	CONSTRAINT pk_sign_off PRIMARY KEY (course_id, number), 
	CONSTRAINT fk_sign_off_course_id FOREIGN KEY(course_id) REFERENCES course (id), 
	CONSTRAINT ck_sign_off_number CHECK (number >= 1)
);
INSERT INTO "sign_off" VALUES(1,1,'{"at": "2031-05-04T12:00:00+00:00", "by": "26ee54b52bc2b8b6e264018a18273743f6ce33d2a5a967940cc62a336748a9a5", "corrects": null, "course": "course 1", "dive": "1", "diver": "8f199343f21d739e902057f1290d5800b2dfcc908b224ff5396ced5889f17146", "hash": "effd2212f5af3203009e1f1aa704028e124657427eb7a47af6affaf84c8d817d", "number": 1, "outcome": "shown", "previous": "92ad67f62c2409ea8f9477a0beca9ca5838b8168ba7ad57ef40effeebe292056", "remark": "14e7d5db4dfd8760525b6d321138caa74c322f37b08baea80e40c0772f3b7a85", "skill": "valve-drill"}');
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
INSERT INTO "signature" VALUES(1,2,'check','40798e310a9964a07c3f7a7cc4afda6fac0c40bf0cfce28d28050424b17ff329','Anker Windlass',1,'2031-05-04 12:00:00.000000');
CREATE TABLE standard (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	title TEXT NOT NULL, 
	text TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	changed_at DATETIME NOT NULL
);
INSERT INTO "standard" VALUES(1,'ours','title = "ours"
',1,'2031-05-04 12:00:00.000000','2031-05-04 12:00:00.000000');
CREATE TABLE waiver (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	person_id INTEGER NOT NULL, 
	standard TEXT NOT NULL, 
	rule TEXT NOT NULL, 
	reason TEXT NOT NULL, 
	on_date DATE NOT NULL, 
	by_name TEXT NOT NULL, 
	by_person_id INTEGER, 
	made_at DATETIME NOT NULL, 
	withdrawn_at DATETIME, 
	CONSTRAINT fk_waiver_person_id FOREIGN KEY(person_id) REFERENCES person (id) ON DELETE CASCADE, 
	CONSTRAINT fk_waiver_by_person_id FOREIGN KEY(by_person_id) REFERENCES person (id) ON DELETE SET NULL
);
INSERT INTO "waiver" VALUES(1,1,'ours','age','known','2031-05-04','Anker Windlass',1,'2031-05-04 12:00:00.000000',NULL);
CREATE INDEX ix_plan_earlier_plan_id ON "plan" (earlier_plan_id);
CREATE INDEX ix_dive_on_date ON dive (on_date);
CREATE INDEX ix_dive_plan_id ON dive (plan_id);
CREATE INDEX ix_analysis_dive_id ON analysis (dive_id);
CREATE INDEX ix_analysis_cylinder_analysed_at ON analysis (cylinder, analysed_at);
CREATE INDEX ix_analysis_by_person_id ON analysis (by_person_id);
CREATE INDEX ix_signature_plan_id ON signature (plan_id);
CREATE INDEX ix_signature_by_person_id ON signature (by_person_id);
CREATE INDEX ix_login_expires_at ON login (expires_at);
CREATE INDEX ix_certificate_person_id ON certificate (person_id);
CREATE INDEX ix_logbook_person_id ON logbook (person_id);
CREATE INDEX ix_logged_dive_logbook_id ON logged_dive (logbook_id);
CREATE INDEX ix_logged_dive_person_id_on_date ON logged_dive (person_id, on_date);
CREATE INDEX ix_set_aside_logbook_id ON set_aside (logbook_id);
CREATE INDEX ix_waiver_by_person_id ON waiver (by_person_id);
CREATE INDEX ix_waiver_person_id ON waiver (person_id);
CREATE INDEX ix_course_note_by_person_id ON course_note (by_person_id);
CREATE INDEX ix_course_note_course_id ON course_note (course_id);
CREATE INDEX ix_debrief_by_person_id ON debrief (by_person_id);
CREATE INDEX ix_debrief_on_date ON debrief (on_date);
CREATE INDEX ix_debrief_plan_id ON debrief (plan_id);
CREATE INDEX ix_sealed_about_person_id ON sealed (about_person_id);
CREATE INDEX ix_sealed_by_person_id ON sealed (by_person_id);
CREATE TRIGGER sign_off_no_update BEFORE UPDATE ON sign_off BEGIN SELECT RAISE(ABORT, 'sign-offs are added and never changed'); END;
CREATE TRIGGER sign_off_no_delete BEFORE DELETE ON sign_off BEGIN SELECT RAISE(ABORT, 'sign-offs are added and never changed'); END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('plan',3);
INSERT INTO "sqlite_sequence" VALUES('person',1);
INSERT INTO "sqlite_sequence" VALUES('dive',1);
INSERT INTO "sqlite_sequence" VALUES('analysis',2);
INSERT INTO "sqlite_sequence" VALUES('signature',1);
INSERT INTO "sqlite_sequence" VALUES('certificate',1);
INSERT INTO "sqlite_sequence" VALUES('logbook',1);
INSERT INTO "sqlite_sequence" VALUES('logged_dive',1);
INSERT INTO "sqlite_sequence" VALUES('set_aside',1);
INSERT INTO "sqlite_sequence" VALUES('standard',1);
INSERT INTO "sqlite_sequence" VALUES('waiver',1);
INSERT INTO "sqlite_sequence" VALUES('course',1);
INSERT INTO "sqlite_sequence" VALUES('course_note',1);
INSERT INTO "sqlite_sequence" VALUES('debrief',1);
COMMIT;
