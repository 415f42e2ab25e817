-- in CREATE TABLE "load_cell" 
-- gone:   "notes" text not null) strict;
  "notes" text not null,
  "calibration_points" text default '[]' not null,
  "accuracy_class" real) strict;

-- in CREATE TABLE "recording" 
-- gone:   "reading" text not null) strict;
  "reading" text not null,
  "read_with" text default '[]' not null,
  "stretches" text default '[]' not null) strict;

-- in CREATE TABLE "pull" 
-- gone:   "notes" text not null) strict;
  "notes" text not null,
  "overrides" text default '[]' not null) strict;
