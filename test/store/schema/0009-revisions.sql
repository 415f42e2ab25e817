-- in CREATE TABLE "report" 
-- gone:   "html" text not null) strict;
  "html" text not null,
  "content_sha256" text,
  "content" text,
  "withdrawn_at" text,
  "withdrawn_reason" text,
  "note" text default '' not null,
  "changes" text default '[]' not null) strict;

CREATE TABLE "imported_bundle" ("seq" integer primary key autoincrement,
  "id" text not null unique,
  "series_id" text not null references "series" ("id"),
  "content_sha256" text not null,
  "imported_at" text not null,
  "origin" text not null,
  "ids" text not null) strict;

CREATE INDEX "imported_bundle_by_series_id" on "imported_bundle" ("series_id");

CREATE INDEX "imported_bundle_by_content_sha256" on "imported_bundle" ("content_sha256");
