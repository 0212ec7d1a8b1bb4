import type { Field, VerbSpec } from './verb-spec.ts';
import { judgementVerbs } from './verbs/judgement.ts';
import { workVerbs } from './verbs/work.ts';

/**
 * The verbs of the engine, in one table: the bare object after the verb, and the fields. The bench, the command line and scripts all send
 * these verbs, and the journal keeps them under the same names.
 */
export const verbs = { ...workVerbs, ...judgementVerbs };

export type Verb = keyof typeof verbs;

export const verbNames = Object.keys(verbs) as readonly Verb[];

export const isVerb = (text: string): text is Verb => Object.hasOwn(verbs, text);

export const verbSpec = (verb: Verb): VerbSpec => verbs[verb];

/** The fields that a person gives, the bare object first. */
export const givenFields = (verb: Verb): readonly Field[] => {
  const { object, fields } = verbSpec(verb);
  return object ? [object, ...fields] : fields;
};

/** Verbs of one job, and those of the whole build. */
export type JobVerb = { readonly [V in Verb]: (typeof verbs)[V]['scope'] extends 'job' ? V : never }[Verb];
export type BuildVerb = Exclude<Verb, JobVerb>;

export const isJobVerb = (text: string): text is JobVerb => isVerb(text) && verbs[text].scope === 'job';

/** True for a verb that makes whoever does it a performer of its step. */
export const performs = (type: string): boolean => isVerb(type) && verbSpec(type).performs === true;

/** True for work that makes a joint where the glue is wet. */
export const joins = (type: string): boolean => isVerb(type) && verbSpec(type).joins === true;

/** The verbs by which a second person looks at a hold or witness point, and signs what they say. */
export const lookVerbs = ['release', 'refuse', 'reinspect'] as const satisfies readonly JobVerb[];
export type LookVerb = (typeof lookVerbs)[number];

export const isLookVerb = (text: string): text is LookVerb => lookVerbs.some((verb) => verb === text);
