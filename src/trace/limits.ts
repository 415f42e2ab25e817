/** A recording may have this many bytes: half a gibibyte, which is some 20 million rows of time and force. */
export const maxRecordingBytes = 512 * 1024 * 1024;

/** How much of a file's beginning is looked at to propose a layout. */
export const layoutHeadBytes = 256 * 1024;

/** More columns than a logger has: a file with more is something else. */
export const maxColumns = 1024;

/** A line longer than this is no row of a recording: 1,024 cells of 64 characters are as long. */
export const maxLineBytes = 64 * 1024;
