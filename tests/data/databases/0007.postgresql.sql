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
CREATE TABLE public.alembic_version (
    version_num character varying(32) NOT NULL
);
CREATE TABLE public.delivery (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    reminder_id integer NOT NULL,
    channel character varying NOT NULL,
    attempt integer NOT NULL,
    at timestamp with time zone NOT NULL,
    finished_at timestamp with time zone,
    outcome character varying NOT NULL,
    reason character varying NOT NULL,
    CONSTRAINT ck_delivery_outcome_known CHECK (((outcome)::text = ANY ((ARRAY['started'::character varying, 'sent'::character varying, 'failed'::character varying, 'refused'::character varying])::text[])))
);
CREATE SEQUENCE public.delivery_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.delivery_id_seq OWNED BY public.delivery.id;
CREATE TABLE public.duty (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    kind character varying NOT NULL,
    key character varying NOT NULL,
    place_id integer,
    pour_id integer,
    due_at timestamp with time zone NOT NULL,
    asked integer NOT NULL,
    claimed_until timestamp with time zone,
    attempt integer NOT NULL,
    succeeded_at timestamp with time zone,
    failed_at timestamp with time zone,
    failure character varying NOT NULL,
    CONSTRAINT ck_duty_attempt_not_negative CHECK ((attempt >= 0)),
    CONSTRAINT ck_duty_subject CHECK (((((kind)::text = 'weather'::text) AND (place_id IS NOT NULL) AND (pour_id IS NULL)) OR (((kind)::text = 'projection'::text) AND (pour_id IS NOT NULL) AND (place_id IS NULL)) OR (((kind)::text = 'beat'::text) AND (pour_id IS NULL) AND (place_id IS NULL))))
);
CREATE SEQUENCE public.duty_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.duty_id_seq OWNED BY public.duty.id;
CREATE TABLE public.idempotency_key (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    key character varying(200) NOT NULL,
    request_hash character varying NOT NULL,
    status integer NOT NULL,
    answer json NOT NULL
);
CREATE SEQUENCE public.idempotency_key_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.idempotency_key_id_seq OWNED BY public.idempotency_key.id;
CREATE TABLE public.mix (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    kind character varying NOT NULL,
    label json NOT NULL,
    cement_kg_m3 double precision,
    water_cement double precision,
    "activation_energy_kJ_mol" double precision,
    "datum_C" double precision,
    initial_set_h double precision,
    final_set_h double precision,
    "heat_kJ_kg" double precision,
    hydration_tau_h double precision,
    hydration_beta double precision,
    hydration_ultimate double precision,
    density_kg_m3 double precision NOT NULL,
    bag_kg double precision,
    bag_yield_l double precision,
    learned_strength_factor double precision,
    learned_strength_sd double precision,
    learned_set_factor double precision,
    learned_set_sd double precision,
    learned_from_count integer,
    learned_at timestamp with time zone,
    forgotten_at timestamp with time zone,
    "activation_energy_error_kJ_mol" double precision,
    admixture character varying,
    cement json,
    CONSTRAINT ck_mix_cement_positive CHECK ((cement_kg_m3 > (0)::double precision)),
    CONSTRAINT ck_mix_density_positive CHECK ((density_kg_m3 > (0)::double precision)),
    CONSTRAINT ck_mix_set_order CHECK ((final_set_h > initial_set_h)),
    CONSTRAINT ck_mix_water_cement_range CHECK (((water_cement >= (0.2)::double precision) AND (water_cement <= (0.9)::double precision)))
);
CREATE SEQUENCE public.mix_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.mix_id_seq OWNED BY public.mix.id;
CREATE TABLE public.mould (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    material character varying NOT NULL,
    thickness_mm double precision NOT NULL,
    piece_id integer,
    CONSTRAINT ck_mould_thickness_positive CHECK ((thickness_mm > (0)::double precision))
);
CREATE SEQUENCE public.mould_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.mould_id_seq OWNED BY public.mould.id;
CREATE TABLE public.photo (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    at timestamp with time zone NOT NULL,
    step character varying,
    note character varying NOT NULL,
    media_type character varying NOT NULL,
    size_bytes integer NOT NULL,
    sha256 character varying NOT NULL,
    content bytea NOT NULL,
    CONSTRAINT ck_photo_media_type_known CHECK (((media_type)::text = ANY ((ARRAY['image/jpeg'::character varying, 'image/png'::character varying, 'image/webp'::character varying])::text[]))),
    CONSTRAINT ck_photo_size_range CHECK (((size_bytes >= 1) AND (size_bytes <= 8000000)))
);
CREATE SEQUENCE public.photo_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.photo_id_seq OWNED BY public.photo.id;
CREATE TABLE public.piece (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    shape character varying NOT NULL,
    length_mm double precision NOT NULL,
    width_mm double precision NOT NULL,
    thickness_mm double precision,
    height_mm double precision,
    wall_mm double precision,
    openings json NOT NULL,
    exposed_to_frost boolean NOT NULL,
    CONSTRAINT ck_piece_measures_positive CHECK (((length_mm > (0)::double precision) AND (width_mm > (0)::double precision))),
    CONSTRAINT ck_piece_shape_measures CHECK (((((shape)::text = 'panel'::text) AND (thickness_mm IS NOT NULL)) OR (((shape)::text = 'block'::text) AND (height_mm IS NOT NULL)) OR (((shape)::text = 'box'::text) AND (height_mm IS NOT NULL) AND (wall_mm IS NOT NULL))))
);
CREATE SEQUENCE public.piece_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.piece_id_seq OWNED BY public.piece.id;
CREATE TABLE public.place (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    kind character varying NOT NULL,
    latitude double precision,
    longitude double precision,
    timezone character varying NOT NULL,
    lag_h double precision,
    "offset_K" double precision,
    "setpoint_C" double precision,
    learned_lag_h double precision,
    learned_lag_spread double precision,
    "learned_offset_K" double precision,
    "learned_offset_sd_K" double precision,
    learned_from_count integer,
    learned_at timestamp with time zone,
    forgotten_at timestamp with time zone,
    learned_forecast json,
    CONSTRAINT ck_place_both_or_none CHECK (((latitude IS NULL) = (longitude IS NULL))),
    CONSTRAINT ck_place_heated_setpoint CHECK ((((kind)::text <> 'heated room'::text) OR ("setpoint_C" IS NOT NULL))),
    CONSTRAINT ck_place_lag_positive CHECK ((lag_h > (0)::double precision)),
    CONSTRAINT ck_place_latitude_range CHECK (((latitude >= ('-90'::integer)::double precision) AND (latitude <= (90)::double precision))),
    CONSTRAINT ck_place_longitude_range CHECK (((longitude >= ('-180'::integer)::double precision) AND (longitude <= (180)::double precision)))
);
CREATE SEQUENCE public.place_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.place_id_seq OWNED BY public.place.id;
CREATE TABLE public.pour (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    mix_id integer NOT NULL,
    mould_id integer,
    piece_id integer NOT NULL,
    place_id integer NOT NULL,
    sealer_id integer,
    placed_at timestamp with time zone NOT NULL,
    "concrete_C" double precision,
    water_added_l double precision NOT NULL,
    bags double precision,
    note character varying NOT NULL,
    closed_at timestamp with time zone,
    closed_why character varying NOT NULL,
    learned json,
    CONSTRAINT ck_pour_bags_positive CHECK ((bags > (0)::double precision)),
    CONSTRAINT ck_pour_concrete_range CHECK ((("concrete_C" >= (1)::double precision) AND ("concrete_C" <= (50)::double precision))),
    CONSTRAINT ck_pour_water_not_negative CHECK ((water_added_l >= (0)::double precision))
);
CREATE SEQUENCE public.pour_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.pour_id_seq OWNED BY public.pour.id;
CREATE TABLE public.projection (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    made_at timestamp with time zone NOT NULL,
    checked_at timestamp with time zone NOT NULL,
    weather_run_id integer,
    inputs json NOT NULL,
    answer json NOT NULL,
    concrete json,
    why_moved character varying NOT NULL
);
CREATE SEQUENCE public.projection_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.projection_id_seq OWNED BY public.projection.id;
CREATE TABLE public.protection_period (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    from_at timestamp with time zone NOT NULL,
    to_at timestamp with time zone,
    kind character varying NOT NULL,
    "R_m2K_W" double precision,
    "setpoint_C" double precision,
    faces character varying NOT NULL,
    CONSTRAINT ck_protection_period_ends_after_start CHECK ((to_at > from_at)),
    CONSTRAINT ck_protection_period_faces_known CHECK (((faces)::text = ANY ((ARRAY['top'::character varying, 'all'::character varying])::text[]))),
    CONSTRAINT ck_protection_period_resistance_not_negative CHECK (("R_m2K_W" >= (0)::double precision))
);
CREATE SEQUENCE public.protection_period_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.protection_period_id_seq OWNED BY public.protection_period.id;
CREATE TABLE public.reading (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    place_id integer NOT NULL,
    at timestamp with time zone NOT NULL,
    kind character varying NOT NULL,
    "value_C" double precision NOT NULL,
    "value_max_C" double precision,
    span_h double precision NOT NULL,
    note character varying NOT NULL,
    mass_g double precision,
    CONSTRAINT ck_reading_mass_positive CHECK ((mass_g > (0)::double precision)),
    CONSTRAINT ck_reading_span_positive CHECK ((span_h > (0)::double precision)),
    CONSTRAINT ck_reading_value_range CHECK (((("value_C" >= ('-50'::integer)::double precision) AND ("value_C" <= (95)::double precision)) AND (("value_max_C" IS NULL) OR ("value_max_C" >= "value_C"))))
);
CREATE SEQUENCE public.reading_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.reading_id_seq OWNED BY public.reading.id;
CREATE TABLE public.reminder (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    step character varying NOT NULL,
    kind character varying NOT NULL,
    round integer NOT NULL,
    key character varying NOT NULL,
    window_at timestamp with time zone NOT NULL,
    due_at timestamp with time zone NOT NULL,
    not_after timestamp with time zone NOT NULL,
    state character varying NOT NULL,
    claimed_until timestamp with time zone,
    attempt integer NOT NULL,
    done_at timestamp with time zone,
    superseded_at timestamp with time zone,
    changed_at timestamp with time zone NOT NULL,
    changes integer NOT NULL,
    facts json NOT NULL,
    CONSTRAINT ck_reminder_counts CHECK (((attempt >= 0) AND (changes >= 0) AND (round >= 1))),
    CONSTRAINT ck_reminder_ends_after_due CHECK ((not_after >= due_at)),
    CONSTRAINT ck_reminder_kind_known CHECK (((kind)::text = ANY ((ARRAY['opens'::character varying, 'closes'::character varying, 'correction'::character varying, 'frost'::character varying])::text[]))),
    CONSTRAINT ck_reminder_state_known CHECK (((state)::text = ANY ((ARRAY['waiting'::character varying, 'held'::character varying, 'sent'::character varying, 'listed'::character varying, 'cancelled'::character varying, 'expired'::character varying, 'failed'::character varying])::text[])))
);
CREATE SEQUENCE public.reminder_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.reminder_id_seq OWNED BY public.reminder.id;
CREATE TABLE public.sealer (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    chemistry character varying NOT NULL,
    coats integer,
    diluted_coats integer,
    recoat_min_h double precision,
    recoat_max_h double precision,
    "min_C" double precision,
    "max_C" double precision,
    max_rh_pct double precision,
    min_age_d double precision,
    "dew_margin_K" double precision,
    hold_h double precision,
    rain_free_h double precision,
    coverage_m2_l double precision,
    light_use_h double precision,
    full_use_h double precision,
    CONSTRAINT ck_sealer_coats_positive CHECK ((coats >= 1)),
    CONSTRAINT ck_sealer_diluted_within CHECK ((diluted_coats <= coats)),
    CONSTRAINT ck_sealer_range_order CHECK (("max_C" >= "min_C")),
    CONSTRAINT ck_sealer_recoat_order CHECK ((recoat_max_h >= recoat_min_h)),
    CONSTRAINT ck_sealer_use_order CHECK ((full_use_h >= light_use_h))
);
CREATE SEQUENCE public.sealer_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.sealer_id_seq OWNED BY public.sealer.id;
CREATE TABLE public.shop (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    name character varying NOT NULL,
    timezone character varying NOT NULL,
    confidence double precision NOT NULL,
    working_from time without time zone NOT NULL,
    working_to time without time zone NOT NULL,
    quiet_from time without time zone NOT NULL,
    quiet_to time without time zone NOT NULL,
    covers json NOT NULL,
    "needs_MPa" json NOT NULL,
    notice_addresses json NOT NULL,
    feed_token character varying NOT NULL,
    CONSTRAINT ck_shop_confidence_range CHECK (((confidence >= (0.8)::double precision) AND (confidence <= (0.99)::double precision))),
    CONSTRAINT ck_shop_one_row CHECK ((id = 1))
);
CREATE SEQUENCE public.shop_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.shop_id_seq OWNED BY public.shop.id;
CREATE TABLE public.step_done (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    step character varying NOT NULL,
    at timestamp with time zone NOT NULL,
    undone_at timestamp with time zone
);
CREATE SEQUENCE public.step_done_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.step_done_id_seq OWNED BY public.step_done.id;
CREATE TABLE public.strength_test (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    pour_id integer NOT NULL,
    at timestamp with time zone NOT NULL,
    kind character varying NOT NULL,
    "MPa" double precision NOT NULL,
    note character varying NOT NULL,
    CONSTRAINT ck_strength_test_strength_positive CHECK (("MPa" > (0)::double precision))
);
CREATE SEQUENCE public.strength_test_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.strength_test_id_seq OWNED BY public.strength_test.id;
CREATE TABLE public.weather_run (
    id integer NOT NULL,
    created_at timestamp with time zone NOT NULL,
    place_id integer NOT NULL,
    provider character varying NOT NULL,
    typed boolean NOT NULL,
    issued_at timestamp with time zone NOT NULL,
    fetched_at timestamp with time zone NOT NULL,
    start_at timestamp with time zone NOT NULL,
    hour_count integer NOT NULL,
    hours json NOT NULL,
    ensemble json,
    CONSTRAINT ck_weather_run_has_hours CHECK ((hour_count > 0))
);
CREATE SEQUENCE public.weather_run_id_seq
    AS integer
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;
ALTER SEQUENCE public.weather_run_id_seq OWNED BY public.weather_run.id;
ALTER TABLE ONLY public.delivery ALTER COLUMN id SET DEFAULT nextval('public.delivery_id_seq'::regclass);
ALTER TABLE ONLY public.duty ALTER COLUMN id SET DEFAULT nextval('public.duty_id_seq'::regclass);
ALTER TABLE ONLY public.idempotency_key ALTER COLUMN id SET DEFAULT nextval('public.idempotency_key_id_seq'::regclass);
ALTER TABLE ONLY public.mix ALTER COLUMN id SET DEFAULT nextval('public.mix_id_seq'::regclass);
ALTER TABLE ONLY public.mould ALTER COLUMN id SET DEFAULT nextval('public.mould_id_seq'::regclass);
ALTER TABLE ONLY public.photo ALTER COLUMN id SET DEFAULT nextval('public.photo_id_seq'::regclass);
ALTER TABLE ONLY public.piece ALTER COLUMN id SET DEFAULT nextval('public.piece_id_seq'::regclass);
ALTER TABLE ONLY public.place ALTER COLUMN id SET DEFAULT nextval('public.place_id_seq'::regclass);
ALTER TABLE ONLY public.pour ALTER COLUMN id SET DEFAULT nextval('public.pour_id_seq'::regclass);
ALTER TABLE ONLY public.projection ALTER COLUMN id SET DEFAULT nextval('public.projection_id_seq'::regclass);
ALTER TABLE ONLY public.protection_period ALTER COLUMN id SET DEFAULT nextval('public.protection_period_id_seq'::regclass);
ALTER TABLE ONLY public.reading ALTER COLUMN id SET DEFAULT nextval('public.reading_id_seq'::regclass);
ALTER TABLE ONLY public.reminder ALTER COLUMN id SET DEFAULT nextval('public.reminder_id_seq'::regclass);
ALTER TABLE ONLY public.sealer ALTER COLUMN id SET DEFAULT nextval('public.sealer_id_seq'::regclass);
ALTER TABLE ONLY public.shop ALTER COLUMN id SET DEFAULT nextval('public.shop_id_seq'::regclass);
ALTER TABLE ONLY public.step_done ALTER COLUMN id SET DEFAULT nextval('public.step_done_id_seq'::regclass);
ALTER TABLE ONLY public.strength_test ALTER COLUMN id SET DEFAULT nextval('public.strength_test_id_seq'::regclass);
ALTER TABLE ONLY public.weather_run ALTER COLUMN id SET DEFAULT nextval('public.weather_run_id_seq'::regclass);
INSERT INTO public.alembic_version VALUES ('0007');
INSERT INTO public.delivery VALUES (1, '2026-10-14 23:00:00+00', 1, 'mail:1a2b', 1, '2026-10-15 06:30:00.125+00', '2026-10-15 06:30:00.125+00', 'sent', '');
INSERT INTO public.duty VALUES (1, '2026-10-14 23:00:00+00', 'weather', 'weather:1', 1, NULL, '2026-10-15 06:30:00.125+00', 3, '2026-10-16 05:00:00+00', 2, '2026-10-14 23:00:00+00', NULL, '');
INSERT INTO public.duty VALUES (2, '2026-10-14 23:00:00+00', 'projection', 'projection:1', NULL, 1, '2026-10-15 06:30:00.125+00', 1, NULL, 0, NULL, '2026-10-14 23:00:00+00', 'ValueError: x');
INSERT INTO public.duty VALUES (3, '2026-10-14 23:00:00+00', 'beat', 'beat', NULL, NULL, '2026-10-15 06:30:00.125+00', 0, NULL, 0, NULL, NULL, '');
INSERT INTO public.idempotency_key VALUES (1, '2026-10-14 23:00:00+00', 'first-post', '9f86d081', 201, '{"id": 1, "note": "café"}');
INSERT INTO public.mix VALUES (2, '2026-10-14 23:00:00+00', 'Any mix', 'any', '[]', NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, 2250, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO public.mix VALUES (1, '2026-10-14 23:00:00+00', 'Bag, flowing', 'flowing', '["C30/37"]', 412.5, 0.45, 33.5, -10, 4.25, 6.1, 405.123456789, 17.3, 0.86, 0.74, 2300, 25, 12.5, 1.1, 0.1, NULL, NULL, 4, NULL, '2026-10-16 05:00:00+00', 2.5, 'retarder', '{"C3S": 0.55}');
INSERT INTO public.mould VALUES (1, '2026-10-14 23:00:00+00', 'Melamine', 'melamine', 19, 1);
INSERT INTO public.photo VALUES (1, '2026-10-15 06:30:00.125+00', 1, '2026-10-15 06:30:00.125+00', 'strip', 'edge', 'image/png', 4, 'abcd', '\x89504e47');
INSERT INTO public.piece VALUES (1, '2026-10-14 23:00:00+00', 'Table top', 'panel', 1200, 600, 38.1, NULL, NULL, '[{"length_mm": 400.0, "width_mm": 300.0}]', true);
INSERT INTO public.piece VALUES (2, '2026-10-14 23:00:00+00', 'Planter', 'box', 500, 500, NULL, 450, 40, '[]', false);
INSERT INTO public.place VALUES (2, '2026-10-14 23:00:00+00', 'Back room', 'heated room', NULL, NULL, 'UTC', NULL, NULL, 18, NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL);
INSERT INTO public.place VALUES (1, '2026-10-14 23:00:00+00', 'Shed', 'covered', 44.0521, -91.6682, 'America/Chicago', 2.5, -0.75, NULL, 3.1, 1.4, 0.5, 0.2, 7, '2026-10-16 05:00:00+00', NULL, '[{"lead_h": 24}]');
INSERT INTO public.pour VALUES (2, '2026-10-14 23:00:00+00', 2, NULL, 2, 2, NULL, '2026-10-14 23:00:00+00', NULL, 0, NULL, '', '2026-10-16 05:00:00+00', 'broken', NULL);
INSERT INTO public.pour VALUES (1, '2026-10-14 23:00:00+00', 1, 1, 1, 1, 1, '2026-10-14 23:00:00+00', 21.5, 0.5, 3, 'first', NULL, '', '{"lag_h": 3.0}');
INSERT INTO public.projection VALUES (1, '2026-10-14 23:00:00+00', 1, '2026-10-14 23:00:00+00', '2026-10-15 06:30:00.125+00', 1, '{"places": {}}', '{"steps": []}', NULL, '');
INSERT INTO public.protection_period VALUES (1, '2026-10-14 23:00:00+00', 1, '2026-10-14 23:00:00+00', '2026-10-16 05:00:00+00', 'blanket', 0.35, NULL, 'all');
INSERT INTO public.protection_period VALUES (2, '2026-10-14 23:00:00+00', 1, '2026-10-16 05:00:00+00', NULL, 'tent', NULL, 15, 'top');
INSERT INTO public.reading VALUES (2, '2026-10-14 23:00:00+00', 1, 1, '2026-10-15 06:30:00.125+00', 'air max-min', -1, 7.5, 12, '', NULL);
INSERT INTO public.reading VALUES (1, '2026-10-14 23:00:00+00', 1, 1, '2026-10-15 06:30:00.125+00', 'concrete', 19.875, NULL, 1, 'probe', 1234.5);
INSERT INTO public.reminder VALUES (1, '2026-10-14 23:00:00+00', 1, 'strip', 'opens', 1, '1/strip/opens/1', '2026-10-15 06:30:00.125+00', '2026-10-15 06:30:00.125+00', '2026-10-16 05:00:00+00', 'sent', NULL, 1, NULL, NULL, '2026-10-15 06:30:00.125+00', 1, '{"piece": "Table top"}');
INSERT INTO public.sealer VALUES (1, '2026-10-14 23:00:00+00', 'Acrylic', 'acrylic', 2, 1, 4, 24, 10, 30, 85, 7, 3, 6, 24, 8, 24, 168);
INSERT INTO public.shop VALUES (1, '2026-10-14 23:00:00+00', 'Workshop', 'America/Chicago', 0.9, '07:00:00', '19:30:00', '21:00:00', '06:15:00', '["blanket"]', '{"strip": 5.0}', '[]', 'not-a-secret');
INSERT INTO public.step_done VALUES (1, '2026-10-14 23:00:00+00', 1, 'finish', '2026-10-15 06:30:00.125+00', NULL);
INSERT INTO public.step_done VALUES (2, '2026-10-14 23:00:00+00', 1, 'cover', '2026-10-14 23:00:00+00', '2026-10-15 06:30:00.125+00');
INSERT INTO public.step_done VALUES (3, '2026-10-14 23:00:00+00', 1, 'cover', '2026-10-15 06:30:00.125+00', NULL);
INSERT INTO public.strength_test VALUES (1, '2026-10-14 23:00:00+00', 1, '2026-10-16 05:00:00+00', 'cube', 12.3, '');
INSERT INTO public.weather_run VALUES (2, '2026-10-14 23:00:00+00', 1, 'Open-Meteo archive', false, '2026-10-14 23:00:00+00', '2026-10-14 23:00:00+00', '2026-10-14 23:00:00+00', 1, '{"air_C": [5.0]}', NULL);
INSERT INTO public.weather_run VALUES (3, '2026-10-14 23:00:00+00', 1, 'earlier runs of Open-Meteo archive; Open-Meteo forecast', false, '2026-10-14 23:00:00+00', '2026-10-15 06:30:00.125+00', '2026-10-14 23:00:00+00', 1, '{"air_C": [5.1]}', NULL);
INSERT INTO public.weather_run VALUES (4, '2026-10-14 23:00:00+00', 1, 'National Weather Service forecast, before the place was moved', false, '2026-10-14 23:00:00+00', '2026-10-15 06:30:00.125+00', '2026-10-14 23:00:00+00', 1, '{"air_C": [5.2]}', NULL);
INSERT INTO public.weather_run VALUES (5, '2026-10-14 23:00:00+00', 1, 'typed by hand', true, '2026-10-15 06:30:00.125+00', '2026-10-15 06:30:00.125+00', '2026-10-14 23:00:00+00', 1, '{"air_C": [-2.25]}', NULL);
INSERT INTO public.weather_run VALUES (1, '2026-10-14 23:00:00+00', 1, 'Open-Meteo forecast', false, '2026-10-14 23:00:00+00', '2026-10-14 23:00:00+00', '2026-10-14 23:00:00+00', 2, '{"air_C": [6.5, null]}', '{"air_C": [[65, 66]]}');
SELECT pg_catalog.setval('public.delivery_id_seq', 1, true);
SELECT pg_catalog.setval('public.duty_id_seq', 3, true);
SELECT pg_catalog.setval('public.idempotency_key_id_seq', 1, true);
SELECT pg_catalog.setval('public.mix_id_seq', 2, true);
SELECT pg_catalog.setval('public.mould_id_seq', 1, true);
SELECT pg_catalog.setval('public.photo_id_seq', 1, true);
SELECT pg_catalog.setval('public.piece_id_seq', 2, true);
SELECT pg_catalog.setval('public.place_id_seq', 2, true);
SELECT pg_catalog.setval('public.pour_id_seq', 2, true);
SELECT pg_catalog.setval('public.projection_id_seq', 1, true);
SELECT pg_catalog.setval('public.protection_period_id_seq', 2, true);
SELECT pg_catalog.setval('public.reading_id_seq', 2, true);
SELECT pg_catalog.setval('public.reminder_id_seq', 1, true);
SELECT pg_catalog.setval('public.sealer_id_seq', 1, true);
SELECT pg_catalog.setval('public.shop_id_seq', 1, true);
SELECT pg_catalog.setval('public.step_done_id_seq', 3, true);
SELECT pg_catalog.setval('public.strength_test_id_seq', 1, true);
SELECT pg_catalog.setval('public.weather_run_id_seq', 5, true);
ALTER TABLE ONLY public.alembic_version
    ADD CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num);
ALTER TABLE ONLY public.delivery
    ADD CONSTRAINT pk_delivery PRIMARY KEY (id);
ALTER TABLE ONLY public.duty
    ADD CONSTRAINT pk_duty PRIMARY KEY (id);
ALTER TABLE ONLY public.idempotency_key
    ADD CONSTRAINT pk_idempotency_key PRIMARY KEY (id);
ALTER TABLE ONLY public.mix
    ADD CONSTRAINT pk_mix PRIMARY KEY (id);
ALTER TABLE ONLY public.mould
    ADD CONSTRAINT pk_mould PRIMARY KEY (id);
ALTER TABLE ONLY public.photo
    ADD CONSTRAINT pk_photo PRIMARY KEY (id);
ALTER TABLE ONLY public.piece
    ADD CONSTRAINT pk_piece PRIMARY KEY (id);
ALTER TABLE ONLY public.place
    ADD CONSTRAINT pk_place PRIMARY KEY (id);
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT pk_pour PRIMARY KEY (id);
ALTER TABLE ONLY public.projection
    ADD CONSTRAINT pk_projection PRIMARY KEY (id);
ALTER TABLE ONLY public.protection_period
    ADD CONSTRAINT pk_protection_period PRIMARY KEY (id);
ALTER TABLE ONLY public.reading
    ADD CONSTRAINT pk_reading PRIMARY KEY (id);
ALTER TABLE ONLY public.reminder
    ADD CONSTRAINT pk_reminder PRIMARY KEY (id);
ALTER TABLE ONLY public.sealer
    ADD CONSTRAINT pk_sealer PRIMARY KEY (id);
ALTER TABLE ONLY public.shop
    ADD CONSTRAINT pk_shop PRIMARY KEY (id);
ALTER TABLE ONLY public.step_done
    ADD CONSTRAINT pk_step_done PRIMARY KEY (id);
ALTER TABLE ONLY public.strength_test
    ADD CONSTRAINT pk_strength_test PRIMARY KEY (id);
ALTER TABLE ONLY public.weather_run
    ADD CONSTRAINT pk_weather_run PRIMARY KEY (id);
ALTER TABLE ONLY public.duty
    ADD CONSTRAINT uq_duty_key UNIQUE (key);
ALTER TABLE ONLY public.idempotency_key
    ADD CONSTRAINT uq_idempotency_key_key UNIQUE (key);
ALTER TABLE ONLY public.mix
    ADD CONSTRAINT uq_mix_name UNIQUE (name);
ALTER TABLE ONLY public.mould
    ADD CONSTRAINT uq_mould_name UNIQUE (name);
ALTER TABLE ONLY public.piece
    ADD CONSTRAINT uq_piece_name UNIQUE (name);
ALTER TABLE ONLY public.place
    ADD CONSTRAINT uq_place_name UNIQUE (name);
ALTER TABLE ONLY public.reminder
    ADD CONSTRAINT uq_reminder_key UNIQUE (key);
ALTER TABLE ONLY public.sealer
    ADD CONSTRAINT uq_sealer_name UNIQUE (name);
ALTER TABLE ONLY public.shop
    ADD CONSTRAINT uq_shop_feed_token UNIQUE (feed_token);
CREATE INDEX ix_delivery_reminder_id ON public.delivery USING btree (reminder_id);
CREATE INDEX ix_duty_due_at ON public.duty USING btree (due_at);
CREATE INDEX ix_duty_place_id ON public.duty USING btree (place_id);
CREATE INDEX ix_duty_pour_id ON public.duty USING btree (pour_id);
CREATE INDEX ix_mould_piece_id ON public.mould USING btree (piece_id);
CREATE INDEX ix_photo_pour_id ON public.photo USING btree (pour_id);
CREATE INDEX ix_pour_mix_id ON public.pour USING btree (mix_id);
CREATE INDEX ix_pour_mould_id ON public.pour USING btree (mould_id);
CREATE INDEX ix_pour_piece_id ON public.pour USING btree (piece_id);
CREATE INDEX ix_pour_place_id ON public.pour USING btree (place_id);
CREATE INDEX ix_pour_placed_at ON public.pour USING btree (placed_at);
CREATE INDEX ix_pour_sealer_id ON public.pour USING btree (sealer_id);
CREATE INDEX ix_projection_pour_id ON public.projection USING btree (pour_id);
CREATE INDEX ix_projection_weather_run_id ON public.projection USING btree (weather_run_id);
CREATE INDEX ix_protection_period_pour_id ON public.protection_period USING btree (pour_id);
CREATE INDEX ix_reading_place_id ON public.reading USING btree (place_id);
CREATE INDEX ix_reading_pour_id ON public.reading USING btree (pour_id);
CREATE INDEX ix_reminder_due_at ON public.reminder USING btree (due_at);
CREATE INDEX ix_reminder_pour_id ON public.reminder USING btree (pour_id);
CREATE INDEX ix_reminder_state ON public.reminder USING btree (state);
CREATE INDEX ix_step_done_pour_id ON public.step_done USING btree (pour_id);
CREATE INDEX ix_strength_test_pour_id ON public.strength_test USING btree (pour_id);
CREATE INDEX ix_weather_run_fetched_at ON public.weather_run USING btree (fetched_at);
CREATE INDEX ix_weather_run_place_id ON public.weather_run USING btree (place_id);
CREATE UNIQUE INDEX uq_step_done_standing ON public.step_done USING btree (pour_id, step) WHERE (undone_at IS NULL);
ALTER TABLE ONLY public.delivery
    ADD CONSTRAINT fk_delivery_reminder_id FOREIGN KEY (reminder_id) REFERENCES public.reminder(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.duty
    ADD CONSTRAINT fk_duty_place_id FOREIGN KEY (place_id) REFERENCES public.place(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.duty
    ADD CONSTRAINT fk_duty_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.mould
    ADD CONSTRAINT fk_mould_piece_id FOREIGN KEY (piece_id) REFERENCES public.piece(id);
ALTER TABLE ONLY public.photo
    ADD CONSTRAINT fk_photo_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT fk_pour_mix_id FOREIGN KEY (mix_id) REFERENCES public.mix(id);
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT fk_pour_mould_id FOREIGN KEY (mould_id) REFERENCES public.mould(id);
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT fk_pour_piece_id FOREIGN KEY (piece_id) REFERENCES public.piece(id);
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT fk_pour_place_id FOREIGN KEY (place_id) REFERENCES public.place(id);
ALTER TABLE ONLY public.pour
    ADD CONSTRAINT fk_pour_sealer_id FOREIGN KEY (sealer_id) REFERENCES public.sealer(id);
ALTER TABLE ONLY public.projection
    ADD CONSTRAINT fk_projection_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.projection
    ADD CONSTRAINT fk_projection_weather_run_id FOREIGN KEY (weather_run_id) REFERENCES public.weather_run(id) ON DELETE SET NULL;
ALTER TABLE ONLY public.protection_period
    ADD CONSTRAINT fk_protection_period_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.reading
    ADD CONSTRAINT fk_reading_place_id FOREIGN KEY (place_id) REFERENCES public.place(id);
ALTER TABLE ONLY public.reading
    ADD CONSTRAINT fk_reading_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.reminder
    ADD CONSTRAINT fk_reminder_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.step_done
    ADD CONSTRAINT fk_step_done_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.strength_test
    ADD CONSTRAINT fk_strength_test_pour_id FOREIGN KEY (pour_id) REFERENCES public.pour(id) ON DELETE CASCADE;
ALTER TABLE ONLY public.weather_run
    ADD CONSTRAINT fk_weather_run_place_id FOREIGN KEY (place_id) REFERENCES public.place(id) ON DELETE CASCADE;
