import type { Imported } from "../../app/mod.ts";
import { TextField } from "../parts/field.tsx";
import { type Answer, ask } from "../server.ts";
import type { ReadFile } from "./file-sheet.tsx";

/** Keeps a read file in a series; `layoutName` keeps its layout too, unless it is empty. */
export function keepRecording(
  seriesId: string,
  read: Pick<ReadFile, "file" | "layout">,
  layoutName: string,
  benchId = "",
): Promise<Answer<Imported>> {
  const form = new FormData();
  form.append("seriesId", seriesId);
  form.append("layout", JSON.stringify(read.layout));
  if (layoutName.trim() !== "") form.append("saveLayoutAs", layoutName.trim());
  if (benchId !== "") form.append("benchId", benchId);
  form.append("file", read.file, read.file.name);
  return ask<Imported>("POST", "/api/recordings", form);
}

/** The name under which a layout is kept by itself: only where the user had to say something that is not in the file. */
export function rememberedName(read: ReadFile): string {
  if (!read.told || read.savedName !== undefined) return "";
  return `Logger of ${read.file.name.replace(/\.[^.]*$/, "")}`;
}

/** Whether what was answered is kept for the next file of the same logger. */
export function RememberLayout(props: {
  readonly read: ReadFile;
  readonly name: string;
  readonly onName: (name: string) => void;
}) {
  if (!props.read.told || props.read.savedName !== undefined) return null;
  return (
    <TextField
      label="Remember this layout for the logger as"
      hint="The next file of its kind is then read without asking. Empty: it is not kept."
      value={props.name}
      onInput={props.onName}
    />
  );
}
