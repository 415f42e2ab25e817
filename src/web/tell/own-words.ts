/** Markdown as the report shows it; a file of its own, so that it is fetched only where words are looked at. */
export { ownText } from "../../report/mod.ts";
