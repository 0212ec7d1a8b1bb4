import * as z from 'zod/mini';
import { headShape } from './schema/head.ts';
import { editorHints, list } from './schema/leaves.ts';
import { step } from './schema/step.ts';

/** How an editor's YAML reads what we read as text: `revision: 3.2` is a number to it, `strict: true` a boolean. */
const asEditorsRead = {
  scalar: { type: ['string', 'number', 'boolean'] },
  flag: { type: 'boolean' },
  whole: { type: 'integer', minimum: 1 },
} as const;

/**
 * The JSON Schema (draft 2020-12) of procedure files, for editors: the shape alone. Quantities, limits and references are told by `check`.
 */
export const procedureJsonSchema = (): Readonly<Record<string, unknown>> =>
  z.toJSONSchema(z.strictObject({ ...headShape, steps: list(step) }), {
    io: 'input',
    override: ({ zodSchema, jsonSchema }) => {
      const hint = editorHints.get(zodSchema as unknown as z.ZodMiniType);
      if (hint === undefined) return;
      delete jsonSchema.enum;
      Object.assign(jsonSchema, asEditorsRead[hint.as]);
    },
  });
