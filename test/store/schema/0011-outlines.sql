CREATE TABLE "recording_outline" ("recording_sha256" text primary key references "recording" ("sha256"),
  "layout" text not null,
  "bytes" blob not null) strict;
