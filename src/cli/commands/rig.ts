import type { App } from "../../app/mod.ts";
import { formatForce, formatNumber, newtons } from "../../units/mod.ts";
import { openBook } from "../book.ts";
import {
  type ExitCode,
  exitCodes,
  formatTable,
  plain,
  refuseAloud,
  sayWarnings,
  type Terminal,
  toJson,
} from "../terminal.ts";

type AssessedRig = Extract<Awaited<ReturnType<App["assessRig"]>>, { ok: true }>["value"];

/** Lists the rigs of the book, or says of one which part is the weakest and with what margin. */
export async function showRig(
  rigId: string | undefined,
  options: { readonly book?: string; readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const book = await openBook(options.book);
  if (!book.ok) return refuseAloud(terminal, "Cannot open the book", book.problems, options);
  const { app, close } = book.value;
  try {
    if (rigId === undefined) return await listRigs(app, options, terminal);
    const assessed = await app.assessRig(rigId);
    if (!assessed.ok) return refuseAloud(terminal, `Cannot assess ${rigId}`, assessed.problems, options);
    const { value, warnings } = assessed;
    if (options.json) {
      terminal.out(toJson({ ...value, warnings }));
      return exitCodes.done;
    }
    for (const sentence of value.sentences) terminal.out(plain(`- ${sentence}`));
    terminal.out("");
    printTable(
      terminal,
      [["part", "force", "stated", "by", "n", "margin", "first to fail"], ...value.parts.map(rowOf)],
      "lrrlrrr",
    );
    terminal.out("");
    terminal.out("Not considered:");
    for (const one of value.notConsidered) terminal.out(plain(`- ${one}`));
    sayWarnings(terminal.out, warnings);
    return exitCodes.done;
  } finally {
    await close();
  }
}

async function listRigs(
  app: App,
  options: { readonly json?: boolean },
  terminal: Terminal,
): Promise<ExitCode> {
  const rigs = await app.list("rig");
  if (options.json) terminal.out(toJson(rigs));
  else if (rigs.length === 0)
    terminal.out("The book holds no rig yet. Make one in the web app, at Use: bitterend start");
  else
    printTable(
      terminal,
      [
        ["id", "name", "load", "parts"],
        ...rigs.map(({ id, name, load, parts }) => [id, plain(name), load.kind, String(parts.length)]),
      ],
      "lllr",
    );
  return exitCodes.done;
}

function printTable(
  terminal: Terminal,
  rows: readonly (readonly string[])[],
  sides: Parameters<typeof formatTable>[1],
): void {
  const [head = "", ...lines] = formatTable(rows, sides);
  terminal.out(terminal.paint.dim(head));
  for (const line of lines) terminal.out(line);
}

function rowOf({ name, force, statedN, statedBy, n, margin, chanceFirst }: AssessedRig["parts"][number]) {
  const figure = (valueN: number) => formatForce(newtons(valueN)).text;
  const [low, high] = [figure(force.lowN), figure(force.highN)];
  return [
    plain(name),
    low === high ? high : `${low} to ${high}`,
    statedN === undefined ? "-" : figure(statedN),
    plain(statedBy),
    n === undefined ? "" : String(n),
    margin === undefined ? "-" : formatNumber(margin, { significant: 2 }),
    chanceFirst === undefined ? "-" : `${formatNumber(chanceFirst * 100, { significant: 2 })} %`,
  ];
}
