import { aroundOf } from '../../../src/aircraft/surroundings.ts';
import type { Data, Entry } from '../../../src/job/entry.ts';
import { nonconformances } from '../../../src/job/nonconformances.ts';
import type { JobState } from '../../../src/job/state.ts';
import { aheadLaw, aheadOf } from './ahead.ts';
import type { Chooser } from './chooser.ts';
import { count, refused, type Tallies } from './tallies.ts';
import type { Saying, WalkBuild } from './walk-build.ts';

export const minute = 60_000;
export const hour = 60 * minute;

export interface Walker {
  readonly build: WalkBuild;
  readonly choose: Chooser;
  readonly tallies: Tallies;
  /** Says something, and hands what was taken to the laws. `undefined` where it was refused. */
  readonly say: (saying: Saying) => Entry | undefined;
  /** The code of the last refusal. */
  readonly lastCode: () => string | undefined;
}

/** @param hear is told of every entry that was taken. */
export const newWalker = (
  build: WalkBuild,
  choose: Chooser,
  tallies: Tallies,
  hear: (entry: Entry, before: ReturnType<WalkBuild['state']>) => void,
): Walker => {
  let code: string | undefined;
  return {
    build,
    choose,
    tallies,
    lastCode: () => code,
    say: (saying) => {
      const ahead = aheadOf(build, saying);
      const said = build.say(saying);
      count(tallies, 'commands');
      if (ahead) {
        count(tallies, ahead.length > 0 ? 'refused ahead' : 'free ahead');
        tallies.broken.push(...aheadLaw(saying, ahead, 'fault' in said ? said.fault : undefined));
      }
      code = undefined;
      if ('fault' in said) {
        code = said.fault.code;
        if (said.fault.kind === 'refused') refused(tallies, code);
        else if (said.fault.kind !== 'usage')
          tallies.broken.push(`${saying.verb}: ${said.fault.kind} ${said.fault.what}`);
        return undefined;
      }
      count(tallies, 'entries');
      tallies.broken.push(...said.again);
      hear(said.entry, said.before);
      return said.entry;
    },
  };
};

export const reason = { because: 'as the walk wants it' };
export const departing = { says: 'as on the page', did: 'otherwise', because: 'as the walk wants it' };

const numbers: Readonly<Record<string, string>> = { adhesive: 'L-1', sealant: 'S-1' };

/** Names the lot of a material, as a person does who has it in hand. */
export const nameLot = ({ say, choose }: Walker, job: string, material: string): void => {
  const number = choose.maybe(0.05)
    ? 'L-old'
    : material === 'adhesive' && choose.maybe(0.3)
      ? 'L-2'
      : numbers[material];
  const useBy = choose.maybe(0.05) ? {} : { 'use-by': number === 'L-old' ? '2020-01-31' : '2030-01-31' };
  say({ verb: 'lot', object: material, job, data: { number: number ?? 'L-9', ...useBy } });
};

export const momentFor = ({ build }: Walker, job: JobState, by = 'ines', names: readonly string[] = []) => ({
  around: aroundOf(build.state(), job, build.ms),
  ms: build.ms,
  offset: 60,
  by,
  with: names,
});

export const shopNow = { temperature: '21 °C', humidity: '50 %', surface: '20 °C' };

/** Logs the shop through the days until the glue has set. */
export const waitForCure = ({ say, choose, build }: Walker, place?: string): void => {
  for (let turn = 0; turn < 4; turn += 1) {
    build.ms += 11 * hour;
    const cold = choose.maybe(0.12);
    say({
      verb: 'temperature',
      object: cold ? '15 °C' : '26 °C',
      data: {
        ...(cold && choose.maybe(0.5) ? { lowest: '12 °C' } : {}),
        ...(place === undefined ? {} : { place }),
      },
    });
  }
};

export const overcome = (walker: Walker, job: JobState, code: string): boolean =>
  walker.say({ verb: 'depart', object: code, job: job.id, data: departing }) !== undefined;

/** Disposes of the first open thing of a job, in one of the ways that a person has. */
export const dispose = (walker: Walker, job: JobState): boolean => {
  const { choose, say } = walker;
  const around = aroundOf(walker.build.state(), job, walker.build.ms);
  const open = nonconformances(job, around).filter((one) => one.open);
  const one = choose.any(open);
  if (!one) return false;
  const kind = choose.weighted([
    [5, 'use-as-is'],
    [2, 'repair'],
    [4, 'rework'],
    [0.6, 'scrap'],
    [0.6, 'ask'],
  ]);
  const accepted =
    kind === 'use-as-is' || kind === 'repair' ? { 'accepted-by': choose.maybe(0.9) ? 'quillon' : 'tobias' } : {};
  const data: Data = { 'as-what': kind, reason: 'as the walk wants it', ...accepted };
  const which =
    choose.maybe(0.5) && one.fastener !== undefined && one.on === one.step ? { fastener: one.fastener } : {};
  const done =
    say({ verb: 'dispose', object: one.on, job: job.id, data: { ...data, ...which } }) ??
    say({ verb: 'dispose', object: one.step, job: job.id, data });
  return done !== undefined;
};
