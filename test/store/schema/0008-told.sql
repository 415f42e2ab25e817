-- in CREATE TABLE "series" 
-- gone:   "plan_history" text) strict;
  "plan_history" text,
  "sources" text default '' not null,
  "deviations" text default '' not null,
  "conditions" text default '' not null,
  "contact" text default '' not null,
  "tested_at" text default '' not null,
  "customer" text default '' not null,
  "authorised_by" text default '' not null) strict;
