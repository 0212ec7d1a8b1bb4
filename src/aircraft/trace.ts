import { err, ok, type Outcome } from '../fault/fault.ts';
import { unknownId } from '../fault/unknown.ts';
import { nonconformances } from '../job/nonconformances.ts';
import { aroundOf } from './surroundings.ts';
import { builtOver, type BuiltOver } from './over.ts';
import { jobsOf, nameOf, peopleOf, type BuildState } from './state.ts';
import type { Rest } from './trace/rest.ts';
import { stepsNamed, underStep, type Under } from './trace/steps.ts';
import { subjectOf, type TraceSubject } from './trace/subjects.ts';
import { trailsIn } from './trace/trails.ts';
import { thingName, type Thing, type Trail } from './trace/trail.ts';

/** One finished step that was built over something which depends on the subject. */
export interface Over {
  readonly job: string;
  readonly step: string;
  readonly title: string;
  readonly why: string;
  readonly entry: string;
  readonly when: string;
  readonly by: string;
  readonly of: { readonly job: string; readonly step: string };
}

export interface Trace {
  readonly of: string;
  readonly subjects: readonly TraceSubject[];
  readonly rests: readonly Rest[];
  /** Where a step or a value is traced: everything on which it rests. */
  readonly under: readonly Under[];
  readonly over: readonly Over[];
  /** Nonconformances of any of the work found. */
  readonly nonconformances: readonly {
    readonly job: string;
    readonly step: string;
    readonly what: string;
    readonly open: boolean;
  }[];
}

/** Compared without case and outer spaces, because words are read off labels and typed from memory. */
const plain = (word: string): string => word.trim().toLowerCase();

/** Things that the build lists, used or not. */
const listed = (state: BuildState): readonly { readonly of: Thing; readonly names: readonly string[] }[] => [
  ...state.file.stock.flatMap((line): { of: Thing; names: string[] }[] => {
    const { material, part, number, serial } = line;
    if (material !== undefined && number !== undefined)
      return [{ of: { kind: 'lot', material, number }, names: [number] }];
    if (part === undefined) return [];
    return [
      { of: { kind: 'part', part }, names: [part] },
      ...(serial === undefined ? [] : [{ of: { kind: 'serial' as const, part, serial }, names: [serial] }]),
    ];
  }),
  ...[...state.file.tools.map(({ tool }) => tool), ...Object.keys(state.found)].map((tool) => ({
    of: { kind: 'tool' as const, tool },
    names: [tool],
  })),
  ...peopleOf(state).map((person) => ({ of: { kind: 'person' as const, person }, names: namesOf(state, person) })),
];

const namesOf = (state: BuildState, person: string): string[] => [
  person,
  ...[nameOf(state, person)].filter((name) => name !== undefined),
];

const trailsOf = (state: BuildState): readonly Trail[] => jobsOf(state).flatMap(trailsIn);

/** True where a word names a thing: by one of its own names, or by the name of its person. */
const isNamed = (state: BuildState, word: string, { of, names }: Pick<Trail, 'of' | 'names'>): boolean =>
  [...names, thingName(of), ...(of.kind === 'person' ? namesOf(state, of.person) : [])].some(
    (name) => plain(name) === plain(word),
  );

const overLine = ({ job, step, finished, why, of }: BuiltOver): Over => ({
  job: job.id,
  step: step.step,
  title: step.title,
  why,
  entry: finished.entry,
  when: finished.when,
  by: finished.by,
  of: { job: of.job.id, step: of.step.step },
});

/** The nonconformances of the steps that the trace found. */
const standing = (
  state: BuildState,
  touched: readonly { readonly job: string; readonly step: string }[],
): Trace['nonconformances'] =>
  jobsOf(state).flatMap((job) => {
    const steps = new Set(touched.filter((one) => one.job === job.id).map((one) => one.step));
    return steps.size === 0
      ? []
      : nonconformances(job, aroundOf(state, job, state.lastAt))
          .filter((one) => steps.has(one.step))
          .map(({ step, what, open }) => ({ job: job.id, step, what, open }));
  });

/** Each once, in the order in which they first appear. */
const unique = <T>(all: readonly T[]): readonly T[] => [
  ...new Map(all.map((one) => [JSON.stringify(one), one])).values(),
];

/**
 * Everything that depends on a lot, a batch (or its sample), a tool, a part, a serial number, a tag or a person, across all jobs, and what
 * was built over it; and the way back: everything on which a step, a value or a whole job rests. Where a word means several things, all of
 * them are traced. Fault (usage): `unknown-id` where the build knows nothing of that name.
 */
export const traceOf = (state: BuildState, word: string): Outcome<Trace> => {
  const all = trailsOf(state);
  const trails = all.filter((trail) => isNamed(state, word, trail));
  const things = unique([...trails, ...listed(state).filter((one) => isNamed(state, word, one))].map(({ of }) => of));
  const steps = stepsNamed(state, word);
  if (things.length === 0 && steps.length === 0) {
    const known = [...all, ...listed(state)].flatMap(({ names }) => names);
    return err(
      unknownId(
        `the build knows no lot, batch, sample, tool, part, serial number, tag, person, step or job '${word}'`,
        word,
        [...new Set(known)],
      ),
    );
  }
  const rests = unique(trails.flatMap((one) => one.rests));
  const under = steps.flatMap(({ job, step }) => underStep(state, job, step));
  const over = builtOver(
    state,
    trails.flatMap((one) => one.grounds),
  ).map(overLine);
  return ok({
    of: word,
    subjects: [...things.map((thing) => subjectOf(state, thing)), ...steps.map(({ subject }) => subject)],
    rests,
    under,
    over,
    nonconformances: standing(state, [...rests, ...over, ...steps.map(({ subject }) => subject)]),
  });
};
