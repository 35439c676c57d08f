BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
CREATE TABLE delivery (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	reminder_id INTEGER NOT NULL, 
	channel VARCHAR NOT NULL, 
	attempt INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	finished_at DATETIME, 
	outcome VARCHAR NOT NULL, 
	reason VARCHAR NOT NULL, 
	CONSTRAINT pk_delivery PRIMARY KEY (id), 
	CONSTRAINT ck_delivery_outcome_known CHECK (outcome IN ('started', 'sent', 'failed', 'refused')), 
	CONSTRAINT fk_delivery_reminder_id FOREIGN KEY(reminder_id) REFERENCES reminder (id) ON DELETE CASCADE
);
INSERT INTO "delivery" VALUES(1,'2026-10-14 23:00:00.000000',1,'mail:1a2b',1,'2026-10-15 06:30:00.125000','2026-10-15 06:30:00.125000','sent','');
CREATE TABLE duty (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	kind VARCHAR NOT NULL, 
	"key" VARCHAR NOT NULL, 
	place_id INTEGER, 
	pour_id INTEGER, 
	due_at DATETIME NOT NULL, 
	asked INTEGER NOT NULL, 
	claimed_until DATETIME, 
	attempt INTEGER NOT NULL, 
	succeeded_at DATETIME, 
	failed_at DATETIME, 
	failure VARCHAR NOT NULL, 
	CONSTRAINT pk_duty PRIMARY KEY (id), 
	CONSTRAINT ck_duty_subject CHECK ((kind = 'weather' AND place_id IS NOT NULL AND pour_id IS NULL) OR (kind = 'projection' AND pour_id IS NOT NULL AND place_id IS NULL) OR (kind = 'beat' AND pour_id IS NULL AND place_id IS NULL)), 
	CONSTRAINT ck_duty_attempt_not_negative CHECK (attempt >= 0), 
	CONSTRAINT fk_duty_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE CASCADE, 
	CONSTRAINT fk_duty_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE, 
	CONSTRAINT uq_duty_key UNIQUE ("key")
);
INSERT INTO "duty" VALUES(1,'2026-10-14 23:00:00.000000','weather','weather:1',1,NULL,'2026-10-15 06:30:00.125000',3,'2026-10-16 05:00:00.000000',2,'2026-10-14 23:00:00.000000',NULL,'');
INSERT INTO "duty" VALUES(2,'2026-10-14 23:00:00.000000','projection','projection:1',NULL,1,'2026-10-15 06:30:00.125000',1,NULL,0,NULL,'2026-10-14 23:00:00.000000','ValueError: x');
INSERT INTO "duty" VALUES(3,'2026-10-14 23:00:00.000000','beat','beat',NULL,NULL,'2026-10-15 06:30:00.125000',0,NULL,0,NULL,NULL,'');
CREATE TABLE idempotency_key (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	"key" VARCHAR(200) NOT NULL, 
	request_hash VARCHAR NOT NULL, 
	status INTEGER NOT NULL, 
	answer JSON NOT NULL, 
	CONSTRAINT pk_idempotency_key PRIMARY KEY (id), 
	CONSTRAINT uq_idempotency_key_key UNIQUE ("key")
);
INSERT INTO "idempotency_key" VALUES(1,'2026-10-14 23:00:00.000000','first-post','9f86d081',201,'{"id": 1, "note": "café"}');
CREATE TABLE mix (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	label JSON NOT NULL, 
	cement_kg_m3 FLOAT, 
	water_cement FLOAT, 
	"activation_energy_kJ_mol" FLOAT, 
	"datum_C" FLOAT, 
	initial_set_h FLOAT, 
	final_set_h FLOAT, 
	"heat_kJ_kg" FLOAT, 
	hydration_tau_h FLOAT, 
	hydration_beta FLOAT, 
	hydration_ultimate FLOAT, 
	density_kg_m3 FLOAT NOT NULL, 
	bag_kg FLOAT, 
	bag_yield_l FLOAT, learned_strength_factor FLOAT, learned_strength_sd FLOAT, learned_set_factor FLOAT, learned_set_sd FLOAT, learned_from_count INTEGER, learned_at DATETIME, forgotten_at DATETIME, "activation_energy_error_kJ_mol" FLOAT, admixture VARCHAR, cement JSON, 
	CONSTRAINT pk_mix PRIMARY KEY (id), 
	CONSTRAINT ck_mix_cement_positive CHECK (cement_kg_m3 > 0), 
	CONSTRAINT ck_mix_density_positive CHECK (density_kg_m3 > 0), 
	CONSTRAINT ck_mix_set_order CHECK (final_set_h > initial_set_h), 
	CONSTRAINT ck_mix_water_cement_range CHECK (water_cement BETWEEN 0.2 AND 0.9), 
	CONSTRAINT uq_mix_name UNIQUE (name)
);
INSERT INTO "mix" VALUES(1,'2026-10-14 23:00:00.000000','Bag, flowing','flowing','["C30/37"]',412.5,0.45,33.5,-10.0,4.25,6.1,405.123456789,17.3,0.86,0.74,2300.0,25.0,12.5,1.1,0.1,NULL,NULL,4,NULL,'2026-10-16 05:00:00.000000',2.5,'retarder','{"C3S": 0.55}');
INSERT INTO "mix" VALUES(2,'2026-10-14 23:00:00.000000','Any mix','any','[]',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,2250.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE mould (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	material VARCHAR NOT NULL, 
	thickness_mm FLOAT NOT NULL, 
	piece_id INTEGER, 
	CONSTRAINT pk_mould PRIMARY KEY (id), 
	CONSTRAINT ck_mould_thickness_positive CHECK (thickness_mm > 0), 
	CONSTRAINT fk_mould_piece_id FOREIGN KEY(piece_id) REFERENCES piece (id), 
	CONSTRAINT uq_mould_name UNIQUE (name)
);
INSERT INTO "mould" VALUES(1,'2026-10-14 23:00:00.000000','Melamine','melamine',19.0,1);
CREATE TABLE piece (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	shape VARCHAR NOT NULL, 
	length_mm FLOAT NOT NULL, 
	width_mm FLOAT NOT NULL, 
	thickness_mm FLOAT, 
	height_mm FLOAT, 
	wall_mm FLOAT, 
	openings JSON NOT NULL, 
	exposed_to_frost BOOLEAN NOT NULL, 
	CONSTRAINT pk_piece PRIMARY KEY (id), 
	CONSTRAINT ck_piece_shape_measures CHECK ((shape = 'panel' AND thickness_mm IS NOT NULL) OR (shape = 'block' AND height_mm IS NOT NULL) OR (shape = 'box' AND height_mm IS NOT NULL AND wall_mm IS NOT NULL)), 
	CONSTRAINT ck_piece_measures_positive CHECK (length_mm > 0 AND width_mm > 0), 
	CONSTRAINT uq_piece_name UNIQUE (name)
);
INSERT INTO "piece" VALUES(1,'2026-10-14 23:00:00.000000','Table top','panel',1200.0,600.0,38.1,NULL,NULL,'[{"length_mm": 400.0, "width_mm": 300.0}]',1);
INSERT INTO "piece" VALUES(2,'2026-10-14 23:00:00.000000','Planter','box',500.0,500.0,NULL,450.0,40.0,'[]',0);
CREATE TABLE place (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	latitude FLOAT, 
	longitude FLOAT, 
	timezone VARCHAR NOT NULL, 
	lag_h FLOAT, 
	"offset_K" FLOAT, 
	"setpoint_C" FLOAT, learned_lag_h FLOAT, learned_lag_spread FLOAT, "learned_offset_K" FLOAT, "learned_offset_sd_K" FLOAT, learned_from_count INTEGER, learned_at DATETIME, forgotten_at DATETIME, 
	CONSTRAINT pk_place PRIMARY KEY (id), 
	CONSTRAINT ck_place_both_or_none CHECK ((latitude IS NULL) = (longitude IS NULL)), 
	CONSTRAINT ck_place_heated_setpoint CHECK (kind <> 'heated room' OR "setpoint_C" IS NOT NULL), 
	CONSTRAINT ck_place_lag_positive CHECK (lag_h > 0), 
	CONSTRAINT ck_place_latitude_range CHECK (latitude BETWEEN -90 AND 90), 
	CONSTRAINT ck_place_longitude_range CHECK (longitude BETWEEN -180 AND 180), 
	CONSTRAINT uq_place_name UNIQUE (name)
);
INSERT INTO "place" VALUES(1,'2026-10-14 23:00:00.000000','Shed','covered',44.0521,-91.6682,'America/Chicago',2.5,-0.75,NULL,3.1,1.4,0.5,0.2,7,'2026-10-16 05:00:00.000000',NULL);
INSERT INTO "place" VALUES(2,'2026-10-14 23:00:00.000000','Back room','heated room',NULL,NULL,'UTC',NULL,NULL,18.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE pour (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	mix_id INTEGER NOT NULL, 
	mould_id INTEGER, 
	piece_id INTEGER NOT NULL, 
	place_id INTEGER NOT NULL, 
	sealer_id INTEGER, 
	placed_at DATETIME NOT NULL, 
	"concrete_C" FLOAT, 
	water_added_l FLOAT NOT NULL, 
	bags FLOAT, 
	note VARCHAR NOT NULL, 
	closed_at DATETIME, 
	closed_why VARCHAR NOT NULL, learned JSON, 
	CONSTRAINT pk_pour PRIMARY KEY (id), 
	CONSTRAINT ck_pour_concrete_range CHECK ("concrete_C" BETWEEN 1 AND 50), 
	CONSTRAINT ck_pour_bags_positive CHECK (bags > 0), 
	CONSTRAINT ck_pour_water_not_negative CHECK (water_added_l >= 0), 
	CONSTRAINT fk_pour_mix_id FOREIGN KEY(mix_id) REFERENCES mix (id), 
	CONSTRAINT fk_pour_mould_id FOREIGN KEY(mould_id) REFERENCES mould (id), 
	CONSTRAINT fk_pour_piece_id FOREIGN KEY(piece_id) REFERENCES piece (id), 
	CONSTRAINT fk_pour_place_id FOREIGN KEY(place_id) REFERENCES place (id), 
	CONSTRAINT fk_pour_sealer_id FOREIGN KEY(sealer_id) REFERENCES sealer (id)
);
INSERT INTO "pour" VALUES(1,'2026-10-14 23:00:00.000000',1,1,1,1,1,'2026-10-14 23:00:00.000000',21.5,0.5,3.0,'first',NULL,'','{"lag_h": 3.0}');
INSERT INTO "pour" VALUES(2,'2026-10-14 23:00:00.000000',2,NULL,2,2,NULL,'2026-10-14 23:00:00.000000',NULL,0.0,NULL,'','2026-10-16 05:00:00.000000','broken',NULL);
CREATE TABLE projection (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	made_at DATETIME NOT NULL, 
	checked_at DATETIME NOT NULL, 
	weather_run_id INTEGER, 
	inputs JSON NOT NULL, 
	answer JSON NOT NULL, 
	concrete JSON, 
	why_moved VARCHAR NOT NULL, 
	CONSTRAINT pk_projection PRIMARY KEY (id), 
	CONSTRAINT fk_projection_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE, 
	CONSTRAINT fk_projection_weather_run_id FOREIGN KEY(weather_run_id) REFERENCES weather_run (id) ON DELETE SET NULL
);
INSERT INTO "projection" VALUES(1,'2026-10-14 23:00:00.000000',1,'2026-10-14 23:00:00.000000','2026-10-15 06:30:00.125000',1,'{"places": {}}','{"steps": []}',NULL,'');
CREATE TABLE protection_period (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	from_at DATETIME NOT NULL, 
	to_at DATETIME, 
	kind VARCHAR NOT NULL, 
	"R_m2K_W" FLOAT, 
	"setpoint_C" FLOAT, 
	faces VARCHAR NOT NULL, 
	CONSTRAINT pk_protection_period PRIMARY KEY (id), 
	CONSTRAINT ck_protection_period_faces_known CHECK (faces IN ('top', 'all')), 
	CONSTRAINT ck_protection_period_resistance_not_negative CHECK ("R_m2K_W" >= 0), 
	CONSTRAINT ck_protection_period_ends_after_start CHECK (to_at > from_at), 
	CONSTRAINT fk_protection_period_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE
);
INSERT INTO "protection_period" VALUES(1,'2026-10-14 23:00:00.000000',1,'2026-10-14 23:00:00.000000','2026-10-16 05:00:00.000000','blanket',0.35,NULL,'all');
INSERT INTO "protection_period" VALUES(2,'2026-10-14 23:00:00.000000',1,'2026-10-16 05:00:00.000000',NULL,'tent',NULL,15.0,'top');
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	place_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	kind VARCHAR NOT NULL, 
	"value_C" FLOAT NOT NULL, 
	"value_max_C" FLOAT, 
	span_h FLOAT NOT NULL, 
	note VARCHAR NOT NULL, 
	CONSTRAINT pk_reading PRIMARY KEY (id), 
	CONSTRAINT ck_reading_value_range CHECK ("value_C" BETWEEN -50 AND 95 AND ("value_max_C" IS NULL OR "value_max_C" >= "value_C")), 
	CONSTRAINT ck_reading_span_positive CHECK (span_h > 0), 
	CONSTRAINT fk_reading_place_id FOREIGN KEY(place_id) REFERENCES place (id), 
	CONSTRAINT fk_reading_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE
);
INSERT INTO "reading" VALUES(1,'2026-10-14 23:00:00.000000',1,1,'2026-10-15 06:30:00.125000','concrete',19.875,NULL,1.0,'probe');
INSERT INTO "reading" VALUES(2,'2026-10-14 23:00:00.000000',1,1,'2026-10-15 06:30:00.125000','air max-min',-1.0,7.5,12.0,'');
CREATE TABLE reminder (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	step VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	round INTEGER NOT NULL, 
	"key" VARCHAR NOT NULL, 
	window_at DATETIME NOT NULL, 
	due_at DATETIME NOT NULL, 
	not_after DATETIME NOT NULL, 
	state VARCHAR NOT NULL, 
	claimed_until DATETIME, 
	attempt INTEGER NOT NULL, 
	done_at DATETIME, 
	superseded_at DATETIME, 
	changed_at DATETIME NOT NULL, 
	changes INTEGER NOT NULL, 
	facts JSON NOT NULL, 
	CONSTRAINT pk_reminder PRIMARY KEY (id), 
	CONSTRAINT ck_reminder_kind_known CHECK (kind IN ('opens', 'closes', 'correction', 'frost')), 
	CONSTRAINT ck_reminder_state_known CHECK (state IN ('waiting', 'held', 'sent', 'listed', 'cancelled', 'expired', 'failed')), 
	CONSTRAINT ck_reminder_counts CHECK (attempt >= 0 AND changes >= 0 AND round >= 1), 
	CONSTRAINT ck_reminder_ends_after_due CHECK (not_after >= due_at), 
	CONSTRAINT fk_reminder_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE, 
	CONSTRAINT uq_reminder_key UNIQUE ("key")
);
INSERT INTO "reminder" VALUES(1,'2026-10-14 23:00:00.000000',1,'strip','opens',1,'1/strip/opens/1','2026-10-15 06:30:00.125000','2026-10-15 06:30:00.125000','2026-10-16 05:00:00.000000','sent',NULL,1,NULL,NULL,'2026-10-15 06:30:00.125000',1,'{"piece": "Table top"}');
CREATE TABLE sealer (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	chemistry VARCHAR NOT NULL, 
	coats INTEGER, 
	diluted_coats INTEGER, 
	recoat_min_h FLOAT, 
	recoat_max_h FLOAT, 
	"min_C" FLOAT, 
	"max_C" FLOAT, 
	max_rh_pct FLOAT, 
	min_age_d FLOAT, 
	CONSTRAINT pk_sealer PRIMARY KEY (id), 
	CONSTRAINT ck_sealer_range_order CHECK ("max_C" >= "min_C"), 
	CONSTRAINT ck_sealer_coats_positive CHECK (coats >= 1), 
	CONSTRAINT ck_sealer_diluted_within CHECK (diluted_coats <= coats), 
	CONSTRAINT ck_sealer_recoat_order CHECK (recoat_max_h >= recoat_min_h), 
	CONSTRAINT uq_sealer_name UNIQUE (name)
);
INSERT INTO "sealer" VALUES(1,'2026-10-14 23:00:00.000000','Acrylic','acrylic',2,1,4.0,24.0,10.0,30.0,85.0,7.0);
CREATE TABLE shop (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	name VARCHAR NOT NULL, 
	timezone VARCHAR NOT NULL, 
	confidence FLOAT NOT NULL, 
	working_from TIME NOT NULL, 
	working_to TIME NOT NULL, 
	quiet_from TIME NOT NULL, 
	quiet_to TIME NOT NULL, 
	covers JSON NOT NULL, 
	"needs_MPa" JSON NOT NULL, 
	notice_addresses JSON NOT NULL, 
	feed_token VARCHAR NOT NULL, 
	CONSTRAINT pk_shop PRIMARY KEY (id), 
	CONSTRAINT ck_shop_confidence_range CHECK (confidence >= 0.8 AND confidence <= 0.99), 
	CONSTRAINT ck_shop_one_row CHECK (id = 1), 
	CONSTRAINT uq_shop_feed_token UNIQUE (feed_token)
);
INSERT INTO "shop" VALUES(1,'2026-10-14 23:00:00.000000','Workshop','America/Chicago',0.9,'07:00:00.000000','19:30:00.000000','21:00:00.000000','06:15:00.000000','["blanket"]','{"strip": 5.0}','[]','not-a-secret');
CREATE TABLE step_done (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	step VARCHAR NOT NULL, 
	at DATETIME NOT NULL, 
	undone_at DATETIME, 
	CONSTRAINT pk_step_done PRIMARY KEY (id), 
	CONSTRAINT fk_step_done_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE
);
INSERT INTO "step_done" VALUES(1,'2026-10-14 23:00:00.000000',1,'finish','2026-10-15 06:30:00.125000',NULL);
INSERT INTO "step_done" VALUES(2,'2026-10-14 23:00:00.000000',1,'cover','2026-10-14 23:00:00.000000','2026-10-15 06:30:00.125000');
INSERT INTO "step_done" VALUES(3,'2026-10-14 23:00:00.000000',1,'cover','2026-10-15 06:30:00.125000',NULL);
CREATE TABLE strength_test (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	pour_id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	kind VARCHAR NOT NULL, 
	"MPa" FLOAT NOT NULL, 
	note VARCHAR NOT NULL, 
	CONSTRAINT pk_strength_test PRIMARY KEY (id), 
	CONSTRAINT ck_strength_test_strength_positive CHECK ("MPa" > 0), 
	CONSTRAINT fk_strength_test_pour_id FOREIGN KEY(pour_id) REFERENCES pour (id) ON DELETE CASCADE
);
INSERT INTO "strength_test" VALUES(1,'2026-10-14 23:00:00.000000',1,'2026-10-16 05:00:00.000000','cube',12.3,'');
CREATE TABLE weather_run (
	id INTEGER NOT NULL, 
	created_at DATETIME NOT NULL, 
	place_id INTEGER NOT NULL, 
	provider VARCHAR NOT NULL, 
	typed BOOLEAN NOT NULL, 
	issued_at DATETIME NOT NULL, 
	fetched_at DATETIME NOT NULL, 
	start_at DATETIME NOT NULL, 
	hour_count INTEGER NOT NULL, 
	hours JSON NOT NULL, 
	CONSTRAINT pk_weather_run PRIMARY KEY (id), 
	CONSTRAINT ck_weather_run_has_hours CHECK (hour_count > 0), 
	CONSTRAINT fk_weather_run_place_id FOREIGN KEY(place_id) REFERENCES place (id) ON DELETE CASCADE
);
INSERT INTO "weather_run" VALUES(1,'2026-10-14 23:00:00.000000',1,'Open-Meteo forecast',0,'2026-10-14 23:00:00.000000','2026-10-14 23:00:00.000000','2026-10-14 23:00:00.000000',2,'{"air_C": [6.5, null]}');
INSERT INTO "weather_run" VALUES(2,'2026-10-14 23:00:00.000000',1,'Open-Meteo archive',0,'2026-10-14 23:00:00.000000','2026-10-14 23:00:00.000000','2026-10-14 23:00:00.000000',1,'{"air_C": [5.0]}');
INSERT INTO "weather_run" VALUES(3,'2026-10-14 23:00:00.000000',1,'earlier runs of Open-Meteo archive; Open-Meteo forecast',0,'2026-10-14 23:00:00.000000','2026-10-15 06:30:00.125000','2026-10-14 23:00:00.000000',1,'{"air_C": [5.1]}');
INSERT INTO "weather_run" VALUES(4,'2026-10-14 23:00:00.000000',1,'National Weather Service forecast, before the place was moved',0,'2026-10-14 23:00:00.000000','2026-10-15 06:30:00.125000','2026-10-14 23:00:00.000000',1,'{"air_C": [5.2]}');
INSERT INTO "weather_run" VALUES(5,'2026-10-14 23:00:00.000000',1,'typed by hand',1,'2026-10-15 06:30:00.125000','2026-10-15 06:30:00.125000','2026-10-14 23:00:00.000000',1,'{"air_C": [-2.25]}');
CREATE INDEX ix_mould_piece_id ON mould (piece_id);
CREATE INDEX ix_weather_run_fetched_at ON weather_run (fetched_at);
CREATE INDEX ix_weather_run_place_id ON weather_run (place_id);
CREATE INDEX ix_pour_mix_id ON pour (mix_id);
CREATE INDEX ix_pour_mould_id ON pour (mould_id);
CREATE INDEX ix_pour_piece_id ON pour (piece_id);
CREATE INDEX ix_pour_place_id ON pour (place_id);
CREATE INDEX ix_pour_placed_at ON pour (placed_at);
CREATE INDEX ix_pour_sealer_id ON pour (sealer_id);
CREATE INDEX ix_duty_due_at ON duty (due_at);
CREATE INDEX ix_duty_place_id ON duty (place_id);
CREATE INDEX ix_duty_pour_id ON duty (pour_id);
CREATE INDEX ix_projection_pour_id ON projection (pour_id);
CREATE INDEX ix_projection_weather_run_id ON projection (weather_run_id);
CREATE INDEX ix_protection_period_pour_id ON protection_period (pour_id);
CREATE INDEX ix_reading_place_id ON reading (place_id);
CREATE INDEX ix_reading_pour_id ON reading (pour_id);
CREATE INDEX ix_reminder_due_at ON reminder (due_at);
CREATE INDEX ix_reminder_pour_id ON reminder (pour_id);
CREATE INDEX ix_reminder_state ON reminder (state);
CREATE INDEX ix_step_done_pour_id ON step_done (pour_id);
CREATE UNIQUE INDEX uq_step_done_standing ON step_done (pour_id, step) WHERE undone_at IS NULL;
CREATE INDEX ix_strength_test_pour_id ON strength_test (pour_id);
CREATE INDEX ix_delivery_reminder_id ON delivery (reminder_id);
COMMIT;
