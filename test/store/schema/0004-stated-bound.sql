-- in CREATE TABLE "series" 
-- gone:   "notes" text not null) strict;
  "notes" text not null,
  "bound_method" text default 'normal' not null,
  "bound_content" real default 0.95 not null,
  "bound_confidence" real default 0.95 not null) strict;
