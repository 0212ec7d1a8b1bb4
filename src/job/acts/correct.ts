import { err } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import { touch, voidReleases } from '../draft.ts';
import type { Act, Correctable } from './act.ts';
import { correctedMix } from './mix.ts';
import { correctedPart } from './part.ts';
import { correctedRead } from './read.ts';
import { correctedShop } from './shop.ts';
import { correctedTighten } from './tighten.ts';

/** The verbs whose entries can be corrected. Each knows its own fields, and reads a corrected value as it read the first one. */
const correctables: readonly Correctable[] = [
  correctedRead,
  correctedTighten,
  correctedMix,
  correctedShop,
  correctedPart,
];

/** A correction strikes a value, at any time, with a reason. The bare id of a reading means the latest value of that reading. */
export const correctAct: Act<'correct'> = {
  decide: (ask) => {
    for (const { decide } of correctables) {
      const taken = decide(ask);
      if (taken !== undefined) return taken;
    }
    const { entry } = ask.data;
    const known = ask.job.plan.steps.flatMap((step) => step.readings.map((reading) => reading.reading));
    return err(
      unknownId(`no typed value '${entry}' in this job`, entry, known, 'name the entry as WRITER:SEQ, or the reading'),
    );
  },
  evolve: (draft, entry, job) => {
    let struck: { readonly step?: string } | undefined;
    for (const { strike } of correctables) struck ??= strike(draft, entry, job);
    const step = struck?.step;
    if (step === undefined) return;
    const state = own(draft.steps, step);
    if (state && !state.performers.includes(entry.by)) state.performers.push(entry.by);
    touch(draft, step, entry);
    voidReleases(draft, job.plan, [step], entry);
  },
  words: ({ value }) => {
    if (value === 'none') return 'struck';
    return typeof value === 'string' ? `corrected to ${value}` : 'corrected';
  },
};
