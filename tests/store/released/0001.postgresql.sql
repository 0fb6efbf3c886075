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
-- Name: setting; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.setting (
    name text NOT NULL,
    value text NOT NULL,
    version integer NOT NULL,
    changed_at timestamp with time zone NOT NULL
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
-- Name: analysis id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.analysis ALTER COLUMN id SET DEFAULT nextval('public.analysis_id_seq'::regclass);


--
-- Name: dive id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive ALTER COLUMN id SET DEFAULT nextval('public.dive_id_seq'::regclass);


--
-- Name: person id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.person ALTER COLUMN id SET DEFAULT nextval('public.person_id_seq'::regclass);


--
-- Name: plan id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plan ALTER COLUMN id SET DEFAULT nextval('public.plan_id_seq'::regclass);


--
-- Name: signature id; Type: DEFAULT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature ALTER COLUMN id SET DEFAULT nextval('public.signature_id_seq'::regclass);


--
-- Data for Name: alembic_version; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.alembic_version VALUES ('0001');


--
-- Data for Name: analysis; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.analysis VALUES (1, 1, 'T7', 10.2, 69.5, 231, 'Anker Windlass', 1, '2031-05-04 12:00:00+00');
INSERT INTO public.analysis VALUES (2, NULL, 'S3', 49.8, NULL, 205.5, 'Old Tam', NULL, '2031-05-04 12:00:00+00');


--
-- Data for Name: dive; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.dive VALUES (1, '2031-06-01', 2, 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: login; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.login VALUES ('5269fe85e99caf85027fe47db4a255e201ee42a3768df4cd891922389116d7e3', '2031-05-04 12:00:00+00', '2031-05-05 12:00:00+00');


--
-- Data for Name: password; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.password VALUES (1, '$argon2id$no-password-at-all', '2031-05-04 12:00:00+00');


--
-- Data for Name: person; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.person VALUES (1, 'Anker Windlass', 'the pier', 'Berit, 555-0101', '2031-01-07', NULL, 1, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


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
', 1, 'draft', 2, '2031-05-04 12:00:00+00', '2031-05-04 12:03:00+00', NULL);
INSERT INTO public.plan VALUES (3, 'Untitled', 'metric', 'title = ''it''''s; -- "quoted" – 深''
', NULL, 'draft', 2, '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00', '2031-05-04 12:00:00+00');


--
-- Data for Name: plan_text; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plan_text VALUES (2, 1, 'title = "a start"
', '2031-05-04 12:00:00+00');


--
-- Data for Name: setting; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.setting VALUES ('house-rules', 'floor_bar = 0.18
', 1, '2031-05-04 12:00:00+00');


--
-- Data for Name: signature; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.signature VALUES (1, 2, 'check', '423602df364b9244e25fddc7b8579516fe4542ce98fd67957403d8271467b245', 'Anker Windlass', 1, '2031-05-04 12:00:00+00');


--
-- Name: analysis_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.analysis_id_seq', 2, true);


--
-- Name: dive_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.dive_id_seq', 1, true);


--
-- Name: person_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.person_id_seq', 1, true);


--
-- Name: plan_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.plan_id_seq', 3, true);


--
-- Name: signature_id_seq; Type: SEQUENCE SET; Schema: public; Owner: -
--

SELECT pg_catalog.setval('public.signature_id_seq', 1, true);


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
-- Name: dive pk_dive; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive
    ADD CONSTRAINT pk_dive PRIMARY KEY (id);


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
-- Name: setting pk_setting; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.setting
    ADD CONSTRAINT pk_setting PRIMARY KEY (name);


--
-- Name: signature pk_signature; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.signature
    ADD CONSTRAINT pk_signature PRIMARY KEY (id);


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
-- Name: ix_dive_on_date; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_dive_on_date ON public.dive USING btree (on_date);


--
-- Name: ix_dive_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_dive_plan_id ON public.dive USING btree (plan_id);


--
-- Name: ix_login_expires_at; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_login_expires_at ON public.login USING btree (expires_at);


--
-- Name: ix_plan_earlier_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_plan_earlier_plan_id ON public.plan USING btree (earlier_plan_id);


--
-- Name: ix_signature_by_person_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_signature_by_person_id ON public.signature USING btree (by_person_id);


--
-- Name: ix_signature_plan_id; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX ix_signature_plan_id ON public.signature USING btree (plan_id);


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
-- Name: dive fk_dive_plan_id; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.dive
    ADD CONSTRAINT fk_dive_plan_id FOREIGN KEY (plan_id) REFERENCES public.plan(id);


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
-- PostgreSQL database dump complete
--


