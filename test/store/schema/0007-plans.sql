-- in CREATE TABLE "series" 
-- gone:   "bound_confidence" real default 0.95 not null) strict;
  "bound_confidence" real default 0.95 not null,
  "plan_history" text) strict;

-- in CREATE TABLE "specimen" 
-- gone:   "redo" text default '' not null) strict;
  "redo" text default '' not null,
  "planned_order" integer) strict;
