import * as z from 'zod/mini';
import { calculations } from '../trade/calculations.ts';
import { hintFor } from './key-hints.ts';
import { headShape } from './schema/head.ts';
import { editorHints, listSchema } from './schema/leaves.ts';
import { step } from './schema/step.ts';

type Json = Record<string, unknown>;

/**
 * The types that a YAML editor gives to what dryfit reads as text: `revision: 3.2` is a number to it, `strict: true` a boolean. Where dryfit
 * also takes the value in quotes, text of the same pattern is allowed.
 */
const asEditorsRead = {
  scalar: { type: ['string', 'number', 'boolean'] },
  words: { type: 'string' },
  flag: { type: ['boolean', 'string'], pattern: '^(?:true|false)$' },
  whole: { type: ['integer', 'string'], minimum: 1, maximum: 999_999, pattern: '^[1-9]\\d{0,5}$' },
} as const;

/** Keys whose values the schema reads as any text, although a check later takes only these. */
const known: Readonly<Record<string, readonly string[]>> = {
  'steps.results.calculation': Object.keys(calculations),
};

const isJson = (value: unknown): value is Json => typeof value === 'object' && value !== null && !Array.isArray(value);

/** The schemas directly below a node, each with the path of keys that leads to it. */
const below = (node: Json, path: readonly string[]): readonly (readonly [Json, readonly string[]])[] => [
  ...Object.entries(isJson(node.properties) ? node.properties : {}).map(
    ([key, inner]) => [inner as Json, [...path, key]] as const,
  ),
  ...[...(Array.isArray(node.anyOf) ? (node.anyOf as unknown[]) : []), node.items]
    .filter(isJson)
    .map((inner) => [inner, path] as const),
];

/** A schema with a description at every key, for an editor to show. Changes the node in place. */
const describe = (node: Json, path: readonly string[]): Json => {
  for (const [inner, at] of below(node, path)) {
    if (at.length > path.length) Object.assign(inner, { description: hintFor(at) });
    const words = known[at.join('.')];
    if (words !== undefined) Object.assign(inner, { type: 'string', enum: words });
    describe(inner, at);
  }
  return node;
};

/**
 * The JSON Schema (draft 2020-12) of procedure files, for editors. It knows the shape alone; quantities, limits and references are checked by
 * `check`. It takes whatever `check` takes, but for text that YAML programs read as nothing or infinity (`null`, `~`, `.inf`).
 */
export const procedureJsonSchema = (): Readonly<Record<string, unknown>> => {
  const { $schema, ...schema } = z.toJSONSchema(z.strictObject({ ...headShape, steps: listSchema(step) }), {
    io: 'input',
    override: ({ zodSchema, jsonSchema }) => {
      const hint = editorHints.get(zodSchema as unknown as z.ZodMiniType);
      if (hint === undefined) return;
      delete jsonSchema.enum;
      Object.assign(jsonSchema, asEditorsRead[hint.as]);
    },
  });
  const title = 'dryfit procedure';
  const description = 'One piece of work out of a kit’s manual, written so that it can be checked.';
  return { $schema, title, description, ...describe(schema as Json, []) };
};
