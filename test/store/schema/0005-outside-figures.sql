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
