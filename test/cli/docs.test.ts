import { readFileSync, writeFileSync } from "node:fs";
import { expect, test } from "vitest";
import { buildProgram } from "../../src/cli/program.ts";
import { processTerminal } from "../../src/cli/terminal.ts";

// docs/cli.md is what --help prints. To write the page anew after an option was changed:
// BITTEREND_WRITE_DOCS=1 npx vitest run test/cli/docs.test.ts

const page = "docs/cli.md";

test("docs/cli.md is what the command line says of itself", () => {
  const wanted = cliPage();
  if (process.env["BITTEREND_WRITE_DOCS"] !== undefined) writeFileSync(page, wanted);
  expect(readFileSync(page, "utf8")).toBe(wanted);
});

function cliPage(): string {
  const program = buildProgram(processTerminal(), () => {});
  const sections = [program, ...program.commands].map((command) => {
    const name = command === program ? "bitterend" : `bitterend ${command.name()}`;
    return `## ${name}\n\n\`\`\`\n${helpOf(command)}\n\`\`\`\n`;
  });
  return `# The command line

Made from \`--help\`; a test holds it to that. In a clone, \`npx bitterend\` runs it. Results go to the standard output,
everything said about them to the error output. With \`--json\` a failure is \`{"problems": [...]}\` on the standard
output; docs/errors.md lists the codes.

${sections.join("\n")}`;
}

/** The help as it is printed, in a width that does not depend on anybody's window. */
function helpOf(command: ReturnType<typeof buildProgram>): string {
  let text = "";
  command.configureOutput({
    writeOut: (part) => {
      text += part;
    },
    getOutHelpWidth: () => 110,
    getOutHasColors: () => false,
  });
  command.outputHelp();
  return text.trimEnd();
}
