CREATE TABLE "kysely_migration" ("name" varchar(255) not null primary key, "timestamp" varchar(255) not null);

CREATE TABLE "kysely_migration_lock" ("id" varchar(255) not null primary key,
  "is_locked" integer default 0 not null);

CREATE TABLE "rope" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "construction" text not null,
  "fibre" text not null,
  "nominal_diameter_mm" real not null,
  "mass_per_length_g_per_m" real,
  "rated_strength_n" real,
  "rated_strength_basis" text not null,
  "rated_strength_ends" text not null,
  "rated_strength_source" text not null,
  "coating" text not null,
  "notes" text not null,
  "pick_length_mm" real,
  "stiffness_n" real,
  "stiffness_spread_n" real) strict;

CREATE TABLE "spool" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "rope_id" text not null references "rope" ("id"),
  "name" text not null,
  "batch" text not null,
  "length_m" real,
  "bought_on" text,
  "notes" text not null,
  "other_use_m" real default 0 not null,
  "price_per_m" real,
  "currency" text default '' not null) strict;

CREATE INDEX "spool_by_rope_id" on "spool" ("rope_id");

CREATE TABLE "recipe" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "kind" text not null,
  "bury_full_diameters" real,
  "bury_taper_diameters" real,
  "lock_stitch" text not null,
  "legs" integer not null,
  "wraps" integer not null,
  "notes" text not null,
  "variant" text,
  "bury_source" text default '' not null,
  "taper_strands_left" integer default 2 not null,
  "crossings" integer default 0 not null,
  "strands_each_side" integer default 6 not null,
  "stitch_diameters" real,
  "set_share" real,
  "set_hold_s" real,
  "numbers" text default '{}' not null,
  "steps" text default '[]' not null,
  "based_on" text default '' not null) strict;

CREATE TABLE "hardware" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "form" text not null,
  "diameter_mm" real,
  "own_strength_n" real,
  "notes" text not null) strict;

CREATE TABLE "load_cell" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "capacity_n" real,
  "resolution_n" real,
  "calibrated_on" text,
  "calibration_note" text not null,
  "notes" text not null,
  "calibration_points" text default '[]' not null,
  "accuracy_class" real) strict;

CREATE TABLE "bench" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "load_cell_id" text references "load_cell" ("id"),
  "drive" text not null,
  "cell_placement" text not null,
  "mechanical_advantage" real not null,
  "near_hardware_id" text references "hardware" ("id"),
  "far_hardware_id" text references "hardware" ("id"),
  "notes" text not null) strict;

CREATE INDEX "bench_by_load_cell_id" on "bench" ("load_cell_id");

CREATE INDEX "bench_by_near_hardware_id" on "bench" ("near_hardware_id");

CREATE INDEX "bench_by_far_hardware_id" on "bench" ("far_hardware_id");

CREATE TABLE "series" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "title" text not null,
  "question" text not null,
  "method" text not null,
  "conclusions" text not null,
  "tester" text not null,
  "factors" text not null,
  "pulls_per_cell" integer not null,
  "simulated" integer not null check (simulated in (0, 1)),
  "notes" text not null,
  "bound_method" text default 'normal' not null,
  "bound_content" real default 0.95 not null,
  "bound_confidence" real default 0.95 not null,
  "plan_history" text) strict;

CREATE TABLE "specimen" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "series_id" text not null references "series" ("id"),
  "label" text not null,
  "rope_id" text references "rope" ("id"),
  "spool_id" text references "spool" ("id"),
  "recipe_id" text references "recipe" ("id"),
  "maker" text not null,
  "made_on" text,
  "levels" text not null,
  "cut_length_mm" real,
  "finished_length_mm" real,
  "bury_full_mm" real,
  "bury_taper_mm" real,
  "notes" text not null,
  "recipe_revision" integer,
  "wanted" text,
  "finished_at_tension_mm" real,
  "finished_tension_n" real,
  "second_bury_full_mm" real,
  "second_bury_taper_mm" real,
  "making_minutes" real,
  "picks_per_step" text default '[]' not null,
  "second_picks_per_step" text default '[]' not null,
  "redo" text default '' not null,
  "planned_order" integer) strict;

CREATE UNIQUE INDEX "specimen_by_series_id_and_label" on "specimen" ("series_id", "label");

CREATE INDEX "specimen_by_series_id_and_seq" on "specimen" ("series_id", "seq");

CREATE INDEX "specimen_by_rope_id" on "specimen" ("rope_id");

CREATE INDEX "specimen_by_spool_id" on "specimen" ("spool_id");

CREATE INDEX "specimen_by_recipe_id" on "specimen" ("recipe_id");

CREATE TABLE "layout" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "layout" text not null,
  "notes" text not null) strict;

CREATE UNIQUE INDEX "layout_by_name" on "layout" ("name");

CREATE TABLE "recording" ("seq" integer primary key autoincrement,
  "sha256" text not null unique,
  "series_id" text not null references "series" ("id"),
  "file_name" text not null,
  "size_bytes" integer not null,
  "imported_at" text not null,
  "layout" text not null,
  "reading" text not null,
  "read_with" text default '[]' not null,
  "stretches" text default '[]' not null) strict;

CREATE INDEX "recording_by_series_id_and_seq" on "recording" ("series_id", "seq");

CREATE TABLE "recording_chunk" ("recording_sha256" text not null references "recording" ("sha256"),
  "number" integer not null,
  "bytes" blob not null,
  constraint "recording_chunk_key" primary key ("recording_sha256", "number")) strict;

CREATE TABLE "pull" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "series_id" text not null references "series" ("id"),
  "specimen_id" text references "specimen" ("id"),
  "bench_id" text references "bench" ("id"),
  "recording_sha256" text references "recording" ("sha256"),
  "recording_pull" integer,
  "typed_peak_n" real,
  "outcome_kind" text check (outcome_kind in ('broke', 'slipped', 'stopped', 'void')),
  "outcome_place" text,
  "outcome_reason" text,
  "pulled_at" text,
  "order" integer,
  "operator" text not null,
  "notes" text not null,
  "overrides" text default '[]' not null) strict;

CREATE INDEX "pull_by_series_id_and_seq" on "pull" ("series_id", "seq");

CREATE INDEX "pull_by_specimen_id" on "pull" ("specimen_id");

CREATE INDEX "pull_by_bench_id" on "pull" ("bench_id");

CREATE UNIQUE INDEX "pull_by_recording_sha256_and_recording_pull" on "pull" ("recording_sha256", "recording_pull");

CREATE TABLE "picture" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "series_id" text references "series" ("id"),
  "specimen_id" text references "specimen" ("id"),
  "pull_id" text references "pull" ("id"),
  "file_name" text not null,
  "media_type" text not null,
  "sha256" text not null,
  "size_bytes" integer not null,
  "caption" text not null,
  "added_at" text not null,
  constraint "picture_of_one_thing" check ((series_id is not null and specimen_id is null and pull_id is null)
         or (series_id is null and specimen_id is not null and pull_id is null)
         or (series_id is null and specimen_id is null and pull_id is not null))) strict;

CREATE INDEX "picture_by_series_id" on "picture" ("series_id");

CREATE INDEX "picture_by_specimen_id" on "picture" ("specimen_id");

CREATE INDEX "picture_by_pull_id" on "picture" ("pull_id");

CREATE TABLE "picture_bytes" ("picture_id" text not null primary key references "picture" ("id"),
  "bytes" blob not null) strict;

CREATE TABLE "report" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "series_id" text not null references "series" ("id"),
  "number" integer not null,
  "published_at" text not null,
  "title" text not null,
  "sha256" text not null,
  "html" text not null) strict;

CREATE UNIQUE INDEX "report_by_series_id_and_number" on "report" ("series_id", "number");

CREATE TABLE "fact" ("name" text not null primary key,
  "value" text not null) strict;

CREATE TABLE "recipe_version" ("recipe_id" text not null references "recipe" ("id"),
  "revision" integer not null,
  "changed_at" text not null,
  "fields" text not null,
  constraint "recipe_version_key" primary key ("recipe_id", "revision")) strict;

CREATE TABLE "claim" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "series_id" text not null references "series" ("id"),
  "statement" text not null,
  "source" text not null,
  "kind" text not null,
  "basis" text not null,
  "share" real,
  "value_n" real,
  "legs" integer,
  "measured_line_n" real,
  "levels" text not null,
  "margin" real not null,
  "content" real not null,
  "notes" text not null) strict;

CREATE INDEX "claim_by_series_id_and_seq" on "claim" ("series_id", "seq");

CREATE TABLE "pooled_series" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "series_id" text not null references "series" ("id"),
  "name" text not null,
  "other_series_id" text references "series" ("id"),
  "other_levels" text not null,
  "source" text not null,
  "n" integer,
  "basis" text not null,
  "mean_share" real,
  "sd_share" real,
  "mean_n" real,
  "sd_n" real,
  "legs" integer,
  "rated_strength_n" real,
  "rated_strength_basis" text not null,
  "rated_strength_ends" text not null,
  "measured_line_n" real,
  "construction" text not null,
  "levels" text not null,
  "notes" text not null) strict;

CREATE INDEX "pooled_series_by_series_id_and_seq" on "pooled_series" ("series_id", "seq");

CREATE INDEX "pooled_series_by_other_series_id" on "pooled_series" ("other_series_id");

CREATE TABLE "rig" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "revision" integer not null,
  "created_at" text not null,
  "changed_at" text not null,
  "name" text not null,
  "load" text not null,
  "parts" text not null,
  "wanted_factor" real,
  "wanted_factor_source" text not null,
  "over_time" text not null,
  "notes" text not null) strict;
