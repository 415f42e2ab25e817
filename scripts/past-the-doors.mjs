// A part's door `mod.ts` names all that the part gives, and a bundler that splits a program into pages by files takes along
// whatever lies behind a door that it goes through. For the browser each name is taken from the file that has it: the first
// page is a third as large, and a page of one drawing leaves Markdown where it is.
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";

const throughDoor = /^(import|export) \{([^}]*)\} from "([./\w-]*\/mod\.ts)";/gm;
const given = /^export \{([^}]*)\} from "([^"]+)";/gm;
const allGiven = /^export \* from "([^"]+)";/gm;
const declared = /^export (?:async )?(?:const|function\*?|class) (\w+)/gm;

/** Rewrites what goes through a door, as esbuild loads a source: types are left out, lines stay where they are. */
export const pastTheDoors = {
  name: "each name from the file that has it",
  setup(build) {
    const doors = new Map();
    build.onLoad({ filter: /[\\/]src[\\/].*\.tsx?$/ }, ({ path }) => ({
      loader: path.endsWith("x") ? "tsx" : "ts",
      contents: readFileSync(path, "utf8").replace(throughDoor, (whole, verb, names, to) => {
        const door = join(dirname(path), to);
        if (!doors.has(door)) doors.set(door, givenBy(door));
        const taken = asked(names).map(([name, as]) => {
          const { file, own } = doors.get(door).get(name) ?? { file: door, own: name };
          return `${verb} { ${own} as ${as} } from ${JSON.stringify(file)};`;
        });
        return taken.join(" ") + "\n".repeat(whole.split("\n").length - 1);
      }),
    }));
  },
};

/** The names that a door gives, each with its file and its name there. */
function givenBy(door) {
  const names = new Map();
  const text = readFileSync(door, "utf8");
  for (const [, list, to] of text.matchAll(given))
    for (const [own, name] of asked(list)) names.set(name, { own, file: join(dirname(door), to) });
  for (const [, to] of text.matchAll(allGiven)) {
    const file = join(dirname(door), to);
    for (const [, name] of readFileSync(file, "utf8").matchAll(declared))
      names.set(name, { own: name, file });
  }
  return names;
}

/** The values of a list of names, each with the name that it gets. */
function asked(list) {
  return list
    .split(",")
    .map((one) => one.trim())
    .filter((one) => one !== "" && !one.startsWith("type "))
    .map((one) => {
      const [name, as = name] = one.split(" as ");
      return [name, as];
    });
}
