import fastifySwagger from "@fastify/swagger";
import { jsonSchemaTransform, jsonSchemaTransformObject } from "fastify-type-provider-zod";
import type { Server } from "./routes/routes.ts";

/** The parts of an OpenAPI 3.1 document that this program writes and reads back. */
export type OpenApi = {
  readonly openapi: string;
  readonly info: { readonly title: string; readonly version: string; readonly description?: string };
  readonly tags?: readonly { readonly name: string; readonly description?: string }[];
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components?: { readonly schemas?: Readonly<Record<string, JsonSchema>> };
};
export type Operation = {
  readonly tags?: readonly string[];
  readonly summary?: string;
  readonly description?: string;
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
    readonly schema?: JsonSchema;
  }[];
  readonly requestBody?: { readonly content: Content };
  readonly responses?: Readonly<Record<string, { readonly description: string; readonly content?: Content }>>;
};
export type Content = Readonly<Record<string, { readonly schema?: JsonSchema }>>;
export type JsonSchema = Readonly<Record<string, unknown>>;

/** Has the document gathered from the schemas of every route that is added after this. */
export function describeRoutes(server: Server, version: string): void {
  server.register(fastifySwagger, {
    openapi: {
      openapi: "3.1.0",
      info: {
        title: "Bitter End",
        version,
        license: { name: "MIT", identifier: "MIT" } as { name: string },
        description:
          "The bench book of a rope-splice tester. Forces are newtons, times seconds, lengths as the field's name says. " +
          'A success is {"value", "warnings"}; every failure is {"problems"}, each with a code, what was found, what ' +
          "is wanted and the way out. The server listens on this computer only and has no accounts.",
      },
      servers: [{ url: "/" }],
      tags: [
        { name: "records", description: "What a person fills in field by field." },
        { name: "series", description: "A question with its specimens and pulls, as a whole." },
        { name: "recordings", description: "What a logger wrote, and what is read out of it." },
        { name: "reports", description: "Pages to publish. They run no script and ask for nothing." },
        {
          name: "bundles",
          description: "A series with all that it rests on, as one data package: for other books.",
        },
        { name: "pictures", description: "Photographs." },
        { name: "splice", description: "Recipes, cut sheets, spools, and what as-made lengths teach." },
        { name: "use", description: "Rigs: what a finding means where a connector is used." },
        { name: "calculations", description: "Each calculation of the book by itself." },
        { name: "about", description: "The server itself." },
      ],
    },
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  });
}

/** The finished document: answers said in words, and without the components that nothing in it refers to. */
export function openApiOf(server: Server): OpenApi {
  const document = server.swagger() as unknown as OpenApi;
  const schemas = document.components?.schemas ?? {};
  const used = reachableFrom(document.paths, schemas);
  return {
    ...document,
    paths: mapValues(document.paths, (methods) => mapValues(methods, withAnswersInWords)),
    components: {
      ...document.components,
      schemas: Object.fromEntries(Object.entries(schemas).filter(([name]) => used.has(name))),
    },
  };
}

function withAnswersInWords(operation: Operation): Operation {
  const responses = Object.entries(operation.responses ?? {}).map(
    ([status, response]) =>
      [status, { ...response, description: answersInWords[status[0] ?? ""] ?? "" }] as const,
  );
  return { ...operation, responses: Object.fromEntries(responses) };
}

const answersInWords: Readonly<Record<string, string>> = {
  2: "Done.",
  4: "Refused, with the reasons; nothing was changed.",
  5: "A fault of the program, or a book that cannot be worked with; nothing was half-stored.",
};

function mapValues<T>(from: Readonly<Record<string, T>>, change: (value: T) => T): Record<string, T> {
  return Object.fromEntries(Object.entries(from).map(([name, value]) => [name, change(value)]));
}

function reachableFrom(start: unknown, schemas: Readonly<Record<string, JsonSchema>>): Set<string> {
  const used = new Set<string>();
  const waiting: unknown[] = [start];
  while (waiting.length > 0) {
    for (const [, name] of JSON.stringify(waiting.pop()).matchAll(/"#\/components\/schemas\/([^"]+)"/g)) {
      if (name === undefined || used.has(name)) continue;
      used.add(name);
      waiting.push(schemas[name] ?? {});
    }
  }
  return used;
}
