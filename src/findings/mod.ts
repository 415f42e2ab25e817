/** What a series shows: efficiency, strength, comparison. Types first; functions are added with the part. */
export type { CellFindings, Finding, JudgedPull, PullToJudge, SeriesFindings } from "./types.ts";
