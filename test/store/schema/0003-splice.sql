-- in CREATE TABLE "rope" 
-- gone:   "notes" text not null) strict;
  "notes" text not null,
  "pick_length_mm" real,
  "stiffness_n" real,
  "stiffness_spread_n" real) strict;

-- in CREATE TABLE "spool" 
-- gone:   "notes" text not null) strict;
  "notes" text not null,
  "other_use_m" real default 0 not null,
  "price_per_m" real,
  "currency" text default '' not null) strict;

-- in CREATE TABLE "recipe" 
-- gone:   "notes" text not null) strict;
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

-- in CREATE TABLE "specimen" 
-- gone:   "notes" text not null) strict;
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
  "redo" text default '' not null) strict;

CREATE TABLE "recipe_version" ("recipe_id" text not null references "recipe" ("id"),
  "revision" integer not null,
  "changed_at" text not null,
  "fields" text not null,
  constraint "recipe_version_key" primary key ("recipe_id", "revision")) strict;
