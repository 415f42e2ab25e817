-- in CREATE TABLE "recording_chunk" 
  "packing" text,
  "size_bytes" integer,
