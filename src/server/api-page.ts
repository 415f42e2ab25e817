import type { Content, JsonSchema, OpenApi, Operation } from "./open-api.ts";

/**
 * A plain page to read what the server answers to, made from its OpenAPI document: no script, every text escaped, one
 * style element, which a content policy can name by its hash.
 */
export function renderApiPage(document: OpenApi): string {
  const tags = document.tags ?? [];
  const schemas = Object.entries(document.components?.schemas ?? {});
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>${escapeHtml(document.info.title)}: HTTP API</title>
<style>${styleOfApiPage}</style>
</head>
<body>
<h1>${escapeHtml(document.info.title)}: HTTP API</h1>
<p>Version ${escapeHtml(document.info.version)}. ${escapeHtml(document.info.description ?? "")}</p>
<p>For programs: <a href="/api/openapi.json">/api/openapi.json</a> (OpenAPI ${escapeHtml(document.openapi)}).</p>
${tags.map(({ name, description }) => renderTag(name, description ?? "", document)).join("\n")}
<section>
<h2>Shapes</h2>
${schemas.map(([name, schema]) => renderSchema(name, schema)).join("\n")}
</section>
</body>
</html>
`;
}

/** The page's whole style; its hash stands in the page's content policy. */
export const styleOfApiPage = `
:root { color-scheme: light dark; }
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; }
h2 { margin-top: 2.5rem; border-bottom: 1px solid; }
h3 { font: 600 1rem/1.5 ui-monospace, monospace; margin: 1.5rem 0 0; overflow-wrap: anywhere; }
p, ul { margin: .3rem 0; }
code, pre { font-family: ui-monospace, monospace; font-size: .9rem; }
pre { overflow-x: auto; padding: .7rem; border: 1px solid; }
details { margin: .3rem 0; }
`;

/**
 * Text as it may stand anywhere in a page.
 *
 * @example
 * escapeHtml("a < b") // "a &#60; b"
 */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (mark) => `&#${mark.charCodeAt(0)};`);
}

function renderTag(tag: string, description: string, { paths }: OpenApi): string {
  const operations = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods)
      .filter(([, operation]) => operation.tags?.includes(tag))
      .map(([method, operation]) => renderOperation(method, path, operation)),
  );
  return `<section>
<h2>${escapeHtml(tag)}</h2>
<p>${escapeHtml(description)}</p>
${operations.join("\n")}
</section>`;
}

function renderOperation(method: string, path: string, operation: Operation): string {
  const parameters = (operation.parameters ?? []).map(
    ({ name, in: place, required }) =>
      `<li><code>${escapeHtml(name)}</code> in the ${escapeHtml(place)}${required ? "" : ", may be left out"}</li>`,
  );
  const answers = Object.entries(operation.responses ?? {}).map(
    ([status, response]) => `<li>${escapeHtml(status)}: ${renderContent(response.content)}</li>`,
  );
  return `<article>
<h3>${escapeHtml(method.toUpperCase())} ${escapeHtml(path)}</h3>
<p>${escapeHtml(operation.summary ?? "")}${operation.description === undefined ? "" : `. ${escapeHtml(operation.description)}`}</p>
${parameters.length === 0 ? "" : `<ul>${parameters.join("")}</ul>`}
${operation.requestBody === undefined ? "" : `<div>Takes ${renderContent(operation.requestBody.content)}</div>`}
<details><summary>Answers</summary><ul>${answers.join("")}</ul></details>
</article>`;
}

function renderContent(content: Content = {}): string {
  return Object.entries(content)
    .map(([type, { schema }]) => {
      const shape = schema === undefined ? "" : renderShape(schema);
      return `${escapeHtml(type)}${shape}`;
    })
    .join(", ");
}

/** A shape by its name where it has one, otherwise in full. */
function renderShape(schema: JsonSchema): string {
  const name = typeof schema["$ref"] === "string" ? nameOf(schema["$ref"]) : undefined;
  return name === undefined
    ? `<details><summary>of this shape</summary><pre>${escapeHtml(JSON.stringify(schema, null, 2))}</pre></details>`
    : `: <a href="#${encodeURIComponent(name)}">${escapeHtml(name)}</a>`;
}

function renderSchema(name: string, schema: JsonSchema): string {
  return `<details id="${escapeHtml(encodeURIComponent(name))}">
<summary><code>${escapeHtml(name)}</code></summary>
<pre>${escapeHtml(JSON.stringify(schema, null, 2))}</pre>
</details>`;
}

function nameOf(reference: string): string {
  return reference.slice(reference.lastIndexOf("/") + 1);
}
