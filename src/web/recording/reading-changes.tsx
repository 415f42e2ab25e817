import type { RereadChange, SeriesOverview } from "../../app/mod.ts";
import { Scroll } from "../parts/scroll.tsx";
import { capital, count, pullName } from "../words.ts";
import { fieldWords, movedWords, rankOf } from "./figure-words.ts";

/** How a pull is called and where its page is. */
export type NameOfPull = (id: string) => { readonly name: string; readonly href: string } | undefined;

/** The names of all pulls of these series. */
export function namesOf(overviews: readonly SeriesOverview[]): NameOfPull {
  const names = new Map(
    overviews.flatMap((overview) =>
      overview.pulls.map(
        (pull) =>
          [
            pull.id,
            { name: pullName(pull, overview), href: `/series/${overview.series.id}/pull/${pull.id}` },
          ] as const,
      ),
    ),
  );
  return (id) => names.get(id);
}

/** What came out otherwise, recording by recording and pull by pull: each figure before and now. */
export function ReadingChanges(props: {
  readonly changes: readonly RereadChange[];
  readonly nameOf: NameOfPull;
}) {
  const files = [...groupBy(props.changes, ({ recordingSha256 }) => recordingSha256).values()];
  return (
    <>
      {files.map((ofFile) => (
        <FileChanges
          key={ofFile[0].recordingSha256}
          changes={ofFile}
          nameOf={props.nameOf}
          open={files.length === 1}
        />
      ))}
    </>
  );
}

function FileChanges(props: {
  readonly changes: readonly [RereadChange, ...RereadChange[]];
  readonly nameOf: NameOfPull;
  readonly open: boolean;
}) {
  const [{ fileName, fromMethod, toMethod }] = props.changes;
  const pulls = [...groupBy(props.changes, ({ pullId }) => pullId ?? "").values()];
  return (
    <details class="reading-changes" open={props.open}>
      <summary>
        {fileName}: {count(pulls.length, "pull")}{" "}
        <span class="aside">
          {fromMethod === toMethod ? `method ${toMethod}` : `method ${fromMethod} before, ${toMethod} now`}
        </span>
      </summary>
      {pulls.map((ofPull) => (
        <PullChanges key={ofPull[0].pullId ?? ""} changes={ofPull} nameOf={props.nameOf} />
      ))}
    </details>
  );
}

function PullChanges(props: {
  readonly changes: readonly [RereadChange, ...RereadChange[]];
  readonly nameOf: NameOfPull;
}) {
  const { changes } = props;
  const [{ pullId }] = changes;
  const known = pullId === undefined ? undefined : props.nameOf(pullId);
  const first = changes
    .filter(({ field }) => rankOf(field) !== undefined)
    .sort((a, b) => (rankOf(a.field) ?? 0) - (rankOf(b.field) ?? 0));
  const others = changes.filter(({ field }) => rankOf(field) === undefined);
  // Where nothing of the first rank moved, the rest is all there is to see.
  const shown = first.length === 0 ? others : first;
  const name = known?.name ?? (pullId === undefined ? "a pull that was not there before" : "a pull");
  return (
    <section class="stack" aria-label={capital(name)}>
      <h3>{known === undefined ? capital(name) : <a href={known.href}>{capital(name)}</a>}</h3>
      <ChangesTable name={name} changes={shown} />
      {first.length > 0 && others.length > 0 && (
        <details>
          <summary>And {count(others.length, "figure")} beneath these</summary>
          <ChangesTable name={`${name}, the rest`} changes={others} />
        </details>
      )}
    </section>
  );
}

function ChangesTable(props: { readonly name: string; readonly changes: readonly RereadChange[] }) {
  return (
    <Scroll label={`What changed of ${props.name}`}>
      <table class="moved">
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col">Before</th>
            <th scope="col">Now</th>
          </tr>
        </thead>
        <tbody>
          {props.changes.map(({ field, from, to }) => {
            const [before, now] = movedWords(field, from, to);
            return (
              <tr key={`${field} ${to}`}>
                <th scope="row">{capital(fieldWords(field))}</th>
                <td>{before}</td>
                <td class="strong">{now}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Scroll>
  );
}

function groupBy<T>(list: readonly T[], keyOf: (one: T) => string): ReadonlyMap<string, [T, ...T[]]> {
  const groups = new Map<string, [T, ...T[]]>();
  for (const one of list) {
    const group = groups.get(keyOf(one));
    if (group === undefined) groups.set(keyOf(one), [one]);
    else group.push(one);
  }
  return groups;
}
