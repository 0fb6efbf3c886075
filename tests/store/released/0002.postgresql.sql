--
-- PostgreSQL database dump
--



SET statement_timeout = 0;
SET lock_timeout = 0;
SET idle_in_transaction_session_timeout = 0;
SET client_encoding = 'UTF8';
SET standard_conforming_strings = on;
SELECT pg_catalog.set_config('search_path', '', false);
SET check_function_bodies = false;
SET xmloption = content;
SET client_min_messages = warning;
SET row_security = off;

--
-- Name: sign_off_stands(); Type: FUNCTION; Schema: public; Owner: -
--

CREATE FUNCTION public.sign_off_stands() RETURNS trigger
    LANGUAGE plpgsql
    AS $$ BEGIN RAISE EXCEPTION 'sign-offs are added and never changed'; END $$;


SET default_tablespace = '';

SET default_table_access_method = heap;

--
-- Name: alembic_version; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.alembic_version (
    version_num character varying(32) NOT NULL
);


--
-- Name: analysis; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.analysis (
    id integer NOT NULL,
    dive_id integer,
    cylinder text NOT NULL,
    o2_pct double precision NOT NULL,
    he_pct double precision,
    gauge_bar double precision NOT NULL,
    by_name text NOT NULL,
    by_person_id integer,
    analysed_at timestamp with time zone NOT NULL,
    CONSTRAINT ck_analysis_gauge_range CHECK (((gauge_bar >= (0)::double precision) AND (gauge_bar <= (500)::double precision))),
    CONSTRAINT ck_analysis_he_range CHECK (((he_pct >= (0)::double precision) AND (he_pct <= (100)::double precision))),
    CONSTRAINT ck_analysis_o2_range CHECK (((o2_pct >= (0)::double precision) AND (o2_pct <= (100)::double precision))),
    CONSTRAINT ck_analysis_sum CHECK (((o2_pct + he_pct) <= (100)::double precision))
);


--
-- Name: analysis_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.analysis_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: analysis_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.analysis_id_seq OWNED BY public.analysis.id;


--
-- Name: certificate; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.certificate (
    id integer NOT NULL,
    person_id integer NOT NULL,
    title text NOT NULL,
    level text NOT NULL,
    kinds text NOT NULL,
    issued_on date,
    number text NOT NULL,
    created_at timestamp with time zone NOT NULL
);


--
-- Name: certificate_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.certificate_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: certificate_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.certificate_id_seq OWNED BY public.certificate.id;


--
-- Name: course; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.course (
    id integer NOT NULL,
    title text NOT NULL,
    text text NOT NULL,
    status text NOT NULL,
    version integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    changed_at timestamp with time zone NOT NULL,
    CONSTRAINT ck_course_status CHECK ((status = ANY (ARRAY['planned'::text, 'running'::text, 'done'::text])))
);


--
-- Name: course_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.course_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: course_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.course_id_seq OWNED BY public.course.id;


--
-- Name: course_note; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.course_note (
    id integer NOT NULL,
    course_id integer NOT NULL,
    dive text NOT NULL,
    kind text NOT NULL,
    text text NOT NULL,
    by_name text NOT NULL,
    by_person_id integer,
    made_at timestamp with time zone NOT NULL,
    CONSTRAINT ck_course_note_kind CHECK ((kind = ANY (ARRAY['briefed'::text, 'achieved'::text, 'lost day'::text])))
);


--
-- Name: course_note_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.course_note_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: course_note_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.course_note_id_seq OWNED BY public.course_note.id;


--
-- Name: course_text; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.course_text (
    course_id integer NOT NULL,
    version integer NOT NULL,
    text text NOT NULL,
    saved_at timestamp with time zone NOT NULL
);


--
-- Name: debrief; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.debrief (
    id integer NOT NULL,
    plan_id integer NOT NULL,
    on_date date NOT NULL,
    text text NOT NULL,
    by_name text NOT NULL,
    by_person_id integer,
    made_at timestamp with time zone NOT NULL
);


--
-- Name: debrief_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.debrief_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: debrief_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.debrief_id_seq OWNED BY public.debrief.id;


--
-- Name: dive; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.dive (
    id integer NOT NULL,
    on_date date NOT NULL,
    plan_id integer NOT NULL,
    version integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    changed_at timestamp with time zone NOT NULL
);


--
-- Name: dive_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.dive_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: dive_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.dive_id_seq OWNED BY public.dive.id;


--
-- Name: logbook; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.logbook (
    id integer NOT NULL,
    person_id integer NOT NULL,
    name text NOT NULL,
    file_sha256 text NOT NULL,
    read_at timestamp with time zone NOT NULL
);


--
-- Name: logbook_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.logbook_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: logbook_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.logbook_id_seq OWNED BY public.logbook.id;


--
-- Name: logged_dive; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.logged_dive (
    id integer NOT NULL,
    person_id integer NOT NULL,
    logbook_id integer,
    on_date date NOT NULL,
    text text NOT NULL
);


--
-- Name: logged_dive_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.logged_dive_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: logged_dive_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.logged_dive_id_seq OWNED BY public.logged_dive.id;


--
-- Name: login; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.login (
    token_sha256 text NOT NULL,
    created_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL
);


--
-- Name: password; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.password (
    id integer NOT NULL,
    argon2 text NOT NULL,
    changed_at timestamp with time zone NOT NULL,
    CONSTRAINT ck_password_only_one CHECK ((id = 1))
);


--
-- Name: person; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.person (
    id integer NOT NULL,
    name text NOT NULL,
    contact text NOT NULL,
    emergency_contact text NOT NULL,
    medical_on date,
    medical_until date,
    version integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    changed_at timestamp with time zone NOT NULL,
    born_on date,
    CONSTRAINT ck_person_medical_in_order CHECK ((medical_until >= medical_on))
);


--
-- Name: person_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.person_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: person_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.person_id_seq OWNED BY public.person.id;


--
-- Name: plan; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.plan (
    id integer NOT NULL,
    title text NOT NULL,
    units text NOT NULL,
    text text NOT NULL,
    earlier_plan_id integer,
    status text NOT NULL,
    version integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    changed_at timestamp with time zone NOT NULL,
    trashed_at timestamp with time zone,
    CONSTRAINT ck_plan_earlier_is_another CHECK ((earlier_plan_id <> id)),
    CONSTRAINT ck_plan_status CHECK ((status = ANY (ARRAY['draft'::text, 'ready'::text, 'dived'::text]))),
    CONSTRAINT ck_plan_units CHECK ((units = ANY (ARRAY['metric'::text, 'imperial'::text])))
);


--
-- Name: plan_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.plan_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: plan_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.plan_id_seq OWNED BY public.plan.id;


--
-- Name: plan_text; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.plan_text (
    plan_id integer NOT NULL,
    version integer NOT NULL,
    text text NOT NULL,
    saved_at timestamp with time zone NOT NULL
);


--
-- Name: sealed; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.sealed (
    course_id integer NOT NULL,
    digest text NOT NULL,
    text text NOT NULL,
    salt text NOT NULL,
    about_person_id integer,
    by_person_id integer
);


--
-- Name: set_aside; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.set_aside (
    id integer NOT NULL,
    logbook_id integer NOT NULL,
    line integer NOT NULL,
    text text NOT NULL,
    reasons text NOT NULL
);


--
-- Name: set_aside_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.set_aside_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: set_aside_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.set_aside_id_seq OWNED BY public.set_aside.id;


--
-- Name: setting; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.setting (
    name text NOT NULL,
    value text NOT NULL,
    version integer NOT NULL,
    changed_at timestamp with time zone NOT NULL
);


--
-- Name: sign_off; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.sign_off (
    course_id integer NOT NULL,
    number integer NOT NULL,
    text text NOT NULL,
    CONSTRAINT ck_sign_off_number CHECK ((number >= 1))
);


--
-- Name: signature; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.signature (
    id integer NOT NULL,
    plan_id integer NOT NULL,
    kind text NOT NULL,
    text_sha256 text NOT NULL,
    by_name text NOT NULL,
    by_person_id integer,
    signed_at timestamp with time zone NOT NULL,
    CONSTRAINT ck_signature_kind CHECK ((kind = ANY (ARRAY['check'::text, 'sign-off'::text])))
);


--
-- Name: signature_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.signature_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: signature_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.signature_id_seq OWNED BY public.signature.id;


--
-- Name: standard; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.standard (
    id integer NOT NULL,
    title text NOT NULL,
    text text NOT NULL,
    version integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    changed_at timestamp with time zone NOT NULL
);


--
-- Name: standard_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.standard_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: standard_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.standard_id_seq OWNED BY public.standard.id;


--
-- Name: waiver; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.waiver (
    id integer NOT NULL,
    person_id integer NOT NULL,
    standard text NOT NULL,
    rule text NOT NULL,
    reason text NOT NULL,
    on_date date NOT NULL,
    by_name text NOT NULL,
    by_person_id integer,
    made_at timestamp with time zone NOT NULL,
    withdrawn_at timestamp with time zone
);


--
-- Name: waiver_id_seq; Type: SEQUENCE; Schema: public; Owner: -
--

CREATE SEQUENCE public.waiver_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;


--
-- Name: waiver_id_seq; Type: SEQUENCE OWNED BY; Schema: public; Owner: -
--

ALTER SEQUENCE public.waiver_id_seq OWNED BY public.waiver.id;


--
-- Name: analysis id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.analysis ALTER COLUMN id SET DEFAULT nextval('public.analysis_id_seq'::regclass);


--
-- Name: certificate id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.certificate ALTER COLUMN id SET DEFAULT nextval('public.certificate_id_seq'::regclass);


--
-- Name: course id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course ALTER COLUMN id SET DEFAULT nextval('public.course_id_seq'::regclass);


--
-- Name: course_note id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_note ALTER COLUMN id SET DEFAULT nextval('public.course_note_id_seq'::regclass);


--
-- Name: debrief id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.debrief ALTER COLUMN id SET DEFAULT nextval('public.debrief_id_seq'::regclass);


--
-- Name: dive id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive ALTER COLUMN id SET DEFAULT nextval('public.dive_id_seq'::regclass);


--
-- Name: logbook id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logbook ALTER COLUMN id SET DEFAULT nextval('public.logbook_id_seq'::regclass);


--
-- Name: logged_dive id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logged_dive ALTER COLUMN id SET DEFAULT nextval('public.logged_dive_id_seq'::regclass);


--
-- Name: person id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.person ALTER COLUMN id SET DEFAULT nextval('public.person_id_seq'::regclass);


--
-- Name: plan id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan ALTER COLUMN id SET DEFAULT nextval('public.plan_id_seq'::regclass);


--
-- Name: set_aside id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.set_aside ALTER COLUMN id SET DEFAULT nextval('public.set_aside_id_seq'::regclass);


--
-- Name: signature id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature ALTER COLUMN id SET DEFAULT nextval('public.signature_id_seq'::regclass);


--
-- Name: standard id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.standard ALTER COLUMN id SET DEFAULT nextval('public.standard_id_seq'::regclass);


--
-- Name: waiver id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.waiver ALTER COLUMN id SET DEFAULT nextval('public.waiver_id_seq'::regclass);


--
-- Data for Name: alembic_version; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.alembic_version VALUES ('0002');


--
-- Data for Name: analysis; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.analysis VALUES (1, 1, 'T7', 10.2, 69.5, 231, 'Anker Windlass', 1, '2031-05-04 12:00:00+00');
INSERT INTO public.analysis VALUES (2, NULL, 'S3', 49.8, NULL, 205.5, 'Old Tam', NULL, '2031-05-04 12:00:00+00');


--
-- Data for Name: certificate; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.certificate VALUES (1, 1, 'a card', '', '["trimix"]', '2029-02-28', '', '2031-05-04 12:00:00+00');


--
-- Data for Name: course; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.course VALUES (1, 'Two weeks', 'title = "Two weeks"
', 'planned', 2, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: course_note; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.course_note VALUES (1, 1, '1', 'briefed', '', 'Anker Windlass', 1, '2031-05-04 12:00:00+00');


--
-- Data for Name: course_text; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.course_text VALUES (1, 1, 'title = "A week"
', '2031-05-04 12:00:00+00');
INSERT INTO public.course_text VALUES (1, 2, 'title = "Two weeks"
', '2031-05-04 12:00:00+00');


--
-- Data for Name: debrief; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.debrief VALUES (1, 2, '2031-05-03', 'as planned', 'Anker Windlass', 1, '2031-05-04 12:00:00+00');


--
-- Data for Name: dive; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.dive VALUES (1, '2031-06-01', 2, 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: logbook; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.logbook VALUES (1, 1, 'log.csv', '0000000000000000000000000000000000000000000000000000000000000000', '2031-05-04 12:00:00+00');


--
-- Data for Name: logged_dive; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.logged_dive VALUES (1, 1, 1, '2030-08-03', '{"on":"2030-08-03","at":"10:05:00","min":61.5,"depth":[150,"ft"],"mixes":[[0.18,0.45],[0.5,0.0]],"circuit":"open circuit","role":"diver","stops":null,"with":[],"kit":[],"number":"","place":"","remark":"it''''s; 深","from":["by hand",0]}');


--
-- Data for Name: login; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.login VALUES ('a059c8c620fc368ec442a9bfb252f1e6b9cead46f05ab801440acd86efd84074', '2031-05-04 12:00:00+00', '2031-05-05 12:00:00+00');


--
-- Data for Name: password; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.password VALUES (1, '$argon2id$no-password-at-all', '2031-05-04 12:00:00+00');


--
-- Data for Name: person; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.person VALUES (1, 'Anker Windlass', 'the pier', 'Berit, 555-0101', '2031-01-07', NULL, 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00', NULL);


--
-- Data for Name: plan; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plan VALUES (1, 'The gallery, 78 m', 'metric', 'title = "The gallery, 78 m"
units = "metric"
', NULL, 'draft', 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00', NULL);
INSERT INTO public.plan VALUES (2, 'The wall, 96 m', 'metric', '# A build-up week, dive 6 of 6. Site, team and dives are invented; see ../README.md.
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
', 1, 'draft', 2, '2031-05-04 12:00:00+00', '2031-05-04 12:03:00+00', NULL);
INSERT INTO public.plan VALUES (3, 'Untitled', 'metric', 'title = ''it''''s; -- "quoted" – 深''
', NULL, 'draft', 2, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: plan_text; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plan_text VALUES (2, 1, 'title = "a start"
', '2031-05-04 12:00:00+00');


--
-- Data for Name: sealed; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.sealed VALUES (1, '7f750b2a733bd39ea42596101a176e09e0d9ce06b549f0a49ca1980c55ee3404', 'Anker Windlass', 'b318e1f2043ca02597208dcb1dba57c3', 1, NULL);
INSERT INTO public.sealed VALUES (1, '8ac3373f50afe7bf0d28d396e3dc0ac284060377751ccb12ddb5899f17ec14d5', 'Old Tam', 'b86ae9aeb757a034e196cf4a78632f11', NULL, NULL);
INSERT INTO public.sealed VALUES (1, 'f4625e5a2b9065c2eafd8c94daa1b5fece292cac752e380d6a7fd7e1fd355326', 'calm', '0fb0712e845998a737014f8fca45e35f', 1, NULL);


--
-- Data for Name: set_aside; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.set_aside VALUES (1, 1, 7, '31.02.2030;12', '["no such day"]');


--
-- Data for Name: setting; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.setting VALUES ('house-rules', 'floor_bar = 0.18
', 1, '2031-05-04 12:00:00+00');


--
-- Data for Name: sign_off; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.sign_off VALUES (1, 1, '{"at": "2031-05-04T12:00:00+00:00", "by": "8ac3373f50afe7bf0d28d396e3dc0ac284060377751ccb12ddb5899f17ec14d5", "corrects": null, "course": "course 1", "dive": "1", "diver": "7f750b2a733bd39ea42596101a176e09e0d9ce06b549f0a49ca1980c55ee3404", "hash": "9b4b2fe9b6f1bebce5e7773b14b51cabdd08eac70900f26a2474a858b9aa5934", "number": 1, "outcome": "shown", "previous": "92ad67f62c2409ea8f9477a0beca9ca5838b8168ba7ad57ef40effeebe292056", "remark": "f4625e5a2b9065c2eafd8c94daa1b5fece292cac752e380d6a7fd7e1fd355326", "skill": "valve-drill"}');


--
-- Data for Name: signature; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.signature VALUES (1, 2, 'check', '40798e310a9964a07c3f7a7cc4afda6fac0c40bf0cfce28d28050424b17ff329', 'Anker Windlass', 1, '2031-05-04 12:00:00+00');


--
-- Data for Name: standard; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.standard VALUES (1, 'ours', 'title = "ours"
', 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: waiver; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.waiver VALUES (1, 1, 'ours', 'age', 'known', '2031-05-04', 'Anker Windlass', 1, '2031-05-04 12:00:00+00', NULL);


--
-- Name: analysis_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.analysis_id_seq', 2, true);


--
-- Name: certificate_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.certificate_id_seq', 1, true);


--
-- Name: course_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.course_id_seq', 1, true);


--
-- Name: course_note_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.course_note_id_seq', 1, true);


--
-- Name: debrief_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.debrief_id_seq', 1, true);


--
-- Name: dive_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.dive_id_seq', 1, true);


--
-- Name: logbook_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.logbook_id_seq', 1, true);


--
-- Name: logged_dive_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.logged_dive_id_seq', 1, true);


--
-- Name: person_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.person_id_seq', 1, true);


--
-- Name: plan_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.plan_id_seq', 3, true);


--
-- Name: set_aside_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.set_aside_id_seq', 1, true);


--
-- Name: signature_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.signature_id_seq', 1, true);


--
-- Name: standard_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.standard_id_seq', 1, true);


--
-- Name: waiver_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.waiver_id_seq', 1, true);


--
-- Name: alembic_version alembic_version_pkc; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.alembic_version
    ADD CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num);


--
-- Name: analysis pk_analysis; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.analysis
    ADD CONSTRAINT pk_analysis PRIMARY KEY (id);


--
-- Name: certificate pk_certificate; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.certificate
    ADD CONSTRAINT pk_certificate PRIMARY KEY (id);


--
-- Name: course pk_course; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course
    ADD CONSTRAINT pk_course PRIMARY KEY (id);


--
-- Name: course_note pk_course_note; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_note
    ADD CONSTRAINT pk_course_note PRIMARY KEY (id);


--
-- Name: course_text pk_course_text; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_text
    ADD CONSTRAINT pk_course_text PRIMARY KEY (course_id, version);


--
-- Name: debrief pk_debrief; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.debrief
    ADD CONSTRAINT pk_debrief PRIMARY KEY (id);


--
-- Name: dive pk_dive; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive
    ADD CONSTRAINT pk_dive PRIMARY KEY (id);


--
-- Name: logbook pk_logbook; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logbook
    ADD CONSTRAINT pk_logbook PRIMARY KEY (id);


--
-- Name: logged_dive pk_logged_dive; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logged_dive
    ADD CONSTRAINT pk_logged_dive PRIMARY KEY (id);


--
-- Name: login pk_login; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.login
    ADD CONSTRAINT pk_login PRIMARY KEY (token_sha256);


--
-- Name: password pk_password; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.password
    ADD CONSTRAINT pk_password PRIMARY KEY (id);


--
-- Name: person pk_person; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.person
    ADD CONSTRAINT pk_person PRIMARY KEY (id);


--
-- Name: plan pk_plan; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan
    ADD CONSTRAINT pk_plan PRIMARY KEY (id);


--
-- Name: plan_text pk_plan_text; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan_text
    ADD CONSTRAINT pk_plan_text PRIMARY KEY (plan_id, version);


--
-- Name: sealed pk_sealed; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sealed
    ADD CONSTRAINT pk_sealed PRIMARY KEY (course_id, digest);


--
-- Name: set_aside pk_set_aside; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.set_aside
    ADD CONSTRAINT pk_set_aside PRIMARY KEY (id);


--
-- Name: setting pk_setting; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.setting
    ADD CONSTRAINT pk_setting PRIMARY KEY (name);


--
-- Name: sign_off pk_sign_off; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sign_off
    ADD CONSTRAINT pk_sign_off PRIMARY KEY (course_id, number);


--
-- Name: signature pk_signature; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature
    ADD CONSTRAINT pk_signature PRIMARY KEY (id);


--
-- Name: standard pk_standard; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.standard
    ADD CONSTRAINT pk_standard PRIMARY KEY (id);


--
-- Name: waiver pk_waiver; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.waiver
    ADD CONSTRAINT pk_waiver PRIMARY KEY (id);


--
-- Name: ix_analysis_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_analysis_by_person_id ON public.analysis USING btree (by_person_id);


--
-- Name: ix_analysis_cylinder_analysed_at; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_analysis_cylinder_analysed_at ON public.analysis USING btree (cylinder, analysed_at);


--
-- Name: ix_analysis_dive_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_analysis_dive_id ON public.analysis USING btree (dive_id);


--
-- Name: ix_certificate_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_certificate_person_id ON public.certificate USING btree (person_id);


--
-- Name: ix_course_note_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_course_note_by_person_id ON public.course_note USING btree (by_person_id);


--
-- Name: ix_course_note_course_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_course_note_course_id ON public.course_note USING btree (course_id);


--
-- Name: ix_debrief_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_debrief_by_person_id ON public.debrief USING btree (by_person_id);


--
-- Name: ix_debrief_on_date; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_debrief_on_date ON public.debrief USING btree (on_date);


--
-- Name: ix_debrief_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_debrief_plan_id ON public.debrief USING btree (plan_id);


--
-- Name: ix_dive_on_date; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_dive_on_date ON public.dive USING btree (on_date);


--
-- Name: ix_dive_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_dive_plan_id ON public.dive USING btree (plan_id);


--
-- Name: ix_logbook_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_logbook_person_id ON public.logbook USING btree (person_id);


--
-- Name: ix_logged_dive_logbook_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_logged_dive_logbook_id ON public.logged_dive USING btree (logbook_id);


--
-- Name: ix_logged_dive_person_id_on_date; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_logged_dive_person_id_on_date ON public.logged_dive USING btree (person_id, on_date);


--
-- Name: ix_login_expires_at; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_login_expires_at ON public.login USING btree (expires_at);


--
-- Name: ix_plan_earlier_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_plan_earlier_plan_id ON public.plan USING btree (earlier_plan_id);


--
-- Name: ix_sealed_about_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_sealed_about_person_id ON public.sealed USING btree (about_person_id);


--
-- Name: ix_sealed_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_sealed_by_person_id ON public.sealed USING btree (by_person_id);


--
-- Name: ix_set_aside_logbook_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_set_aside_logbook_id ON public.set_aside USING btree (logbook_id);


--
-- Name: ix_signature_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_signature_by_person_id ON public.signature USING btree (by_person_id);


--
-- Name: ix_signature_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_signature_plan_id ON public.signature USING btree (plan_id);


--
-- Name: ix_waiver_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_waiver_by_person_id ON public.waiver USING btree (by_person_id);


--
-- Name: ix_waiver_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_waiver_person_id ON public.waiver USING btree (person_id);


--
-- Name: sign_off sign_off_stands; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER sign_off_stands BEFORE DELETE OR UPDATE ON public.sign_off FOR EACH ROW EXECUTE FUNCTION public.sign_off_stands();


--
-- Name: analysis fk_analysis_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.analysis
    ADD CONSTRAINT fk_analysis_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE SET NULL;


--
-- Name: analysis fk_analysis_dive_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.analysis
    ADD CONSTRAINT fk_analysis_dive_id FOREIGN KEY (dive_id) REFERENCES public.dive(id) ON DELETE SET NULL;


--
-- Name: certificate fk_certificate_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.certificate
    ADD CONSTRAINT fk_certificate_person_id FOREIGN KEY (person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- Name: course_note fk_course_note_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_note
    ADD CONSTRAINT fk_course_note_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE SET NULL;


--
-- Name: course_note fk_course_note_course_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_note
    ADD CONSTRAINT fk_course_note_course_id FOREIGN KEY (course_id) REFERENCES public.course(id) ON DELETE CASCADE;


--
-- Name: course_text fk_course_text_course_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.course_text
    ADD CONSTRAINT fk_course_text_course_id FOREIGN KEY (course_id) REFERENCES public.course(id) ON DELETE CASCADE;


--
-- Name: debrief fk_debrief_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.debrief
    ADD CONSTRAINT fk_debrief_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE SET NULL;


--
-- Name: debrief fk_debrief_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.debrief
    ADD CONSTRAINT fk_debrief_plan_id FOREIGN KEY (plan_id) REFERENCES public.plan(id) ON DELETE CASCADE;


--
-- Name: dive fk_dive_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive
    ADD CONSTRAINT fk_dive_plan_id FOREIGN KEY (plan_id) REFERENCES public.plan(id);


--
-- Name: logbook fk_logbook_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logbook
    ADD CONSTRAINT fk_logbook_person_id FOREIGN KEY (person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- Name: logged_dive fk_logged_dive_logbook_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logged_dive
    ADD CONSTRAINT fk_logged_dive_logbook_id FOREIGN KEY (logbook_id) REFERENCES public.logbook(id) ON DELETE CASCADE;


--
-- Name: logged_dive fk_logged_dive_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.logged_dive
    ADD CONSTRAINT fk_logged_dive_person_id FOREIGN KEY (person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- Name: plan fk_plan_earlier_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan
    ADD CONSTRAINT fk_plan_earlier_plan_id FOREIGN KEY (earlier_plan_id) REFERENCES public.plan(id);


--
-- Name: plan_text fk_plan_text_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan_text
    ADD CONSTRAINT fk_plan_text_plan_id FOREIGN KEY (plan_id) REFERENCES public.plan(id) ON DELETE CASCADE;


--
-- Name: sealed fk_sealed_about_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sealed
    ADD CONSTRAINT fk_sealed_about_person_id FOREIGN KEY (about_person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- Name: sealed fk_sealed_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sealed
    ADD CONSTRAINT fk_sealed_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- Name: sealed fk_sealed_course_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sealed
    ADD CONSTRAINT fk_sealed_course_id FOREIGN KEY (course_id) REFERENCES public.course(id);


--
-- Name: set_aside fk_set_aside_logbook_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.set_aside
    ADD CONSTRAINT fk_set_aside_logbook_id FOREIGN KEY (logbook_id) REFERENCES public.logbook(id) ON DELETE CASCADE;


--
-- Name: sign_off fk_sign_off_course_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.sign_off
    ADD CONSTRAINT fk_sign_off_course_id FOREIGN KEY (course_id) REFERENCES public.course(id);


--
-- Name: signature fk_signature_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature
    ADD CONSTRAINT fk_signature_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE SET NULL;


--
-- Name: signature fk_signature_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature
    ADD CONSTRAINT fk_signature_plan_id FOREIGN KEY (plan_id) REFERENCES public.plan(id) ON DELETE CASCADE;


--
-- Name: waiver fk_waiver_by_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.waiver
    ADD CONSTRAINT fk_waiver_by_person_id FOREIGN KEY (by_person_id) REFERENCES public.person(id) ON DELETE SET NULL;


--
-- Name: waiver fk_waiver_person_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.waiver
    ADD CONSTRAINT fk_waiver_person_id FOREIGN KEY (person_id) REFERENCES public.person(id) ON DELETE CASCADE;


--
-- PostgreSQL database dump complete
--


