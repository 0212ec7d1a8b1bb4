import { expect, it } from 'vitest';
import { stepShape } from '../../src/record/document-step.ts';
import { recordedParts } from '../../src/record/parts/parts.ts';

const parts = Object.values(recordedParts);

it.each(Object.entries(recordedParts))(
  'the part %s has a slot of its own, and the shape of a step has its shape there',
  (_name, part) => {
    expect(parts.filter(({ slot }) => slot === part.slot)).toEqual([part]);
    expect(stepShape.shape[part.slot].def.innerType).toBe(part.shape);
  },
);
