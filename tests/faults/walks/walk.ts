import { jobOf, jobsOf } from '../../../src/aircraft/state.ts';
import { isOver } from '../../../src/job/where.ts';
import { planOf } from '../../../src/aircraft/gates/plan.ts';
import type { Entry } from '../../../src/job/entry.ts';
import { chooser } from './chooser.ts';
import { doOddly } from './oddities.ts';
import { count, type Tallies } from './tallies.ts';
import { walkBuild, type ReadPages, type WalkBuild } from './walk-build.ts';
import { goOn } from './steering.ts';
import { newWalker, type Walker } from './walker.ts';

/** The most that is tried in one build. */
const longest = 900;

const notBegun = ({ build }: Walker) => {
  const jobs = jobsOf(build.state());
  return planOf(build.state()).filter(
    ({ procedure, side }) => !jobs.some((one) => one.procedure === procedure && one.side === side),
  );
};

/** Starts what is planned and not begun yet; now and then something a second time. */
const start = (walker: Walker): string | undefined => {
  const { build, choose, say } = walker;
  const sides = planOf(build.state());
  const fresh = notBegun(walker);
  const planned = choose.maybe(0.02) ? choose.any(sides) : choose.maybe(0.85) ? fresh[0] : choose.any(fresh);
  if (!planned) return undefined;
  const { procedure, side } = planned;
  const entry = say({ verb: 'start', object: procedure, data: side === undefined ? {} : { each: side } });
  return entry && build.state().jobOrder.at(-1);
};

/** Which job a person turns to: mostly the same as before. */
const turnTo = (walker: Walker, last: string | undefined): string | undefined => {
  const { build, choose } = walker;
  const own = last === undefined ? undefined : jobOf(build.state(), last);
  const isWaiting = walker.lastCode() === 'gate-open';
  if (own && !isOver(own) && choose.maybe(isWaiting ? 0.2 : 0.88)) return own.id;
  const open = jobsOf(build.state()).filter((job) => !isOver(job));
  if (open.length < 3 && choose.maybe(0.6)) return start(walker) ?? choose.any(open)?.id;
  return choose.any(open)?.id ?? start(walker);
};

export interface Heard {
  readonly entry: Entry;
  readonly build: WalkBuild;
  readonly before: ReturnType<WalkBuild['state']>;
}

/** One build from its first job to its last gate, or until it has gone on for long. @param hear is told of every entry. */
export const walk = (pages: ReadPages, seed: number, tallies: Tallies, hear: (heard: Heard) => void): WalkBuild => {
  const choose = chooser(seed);
  const build = walkBuild(pages);
  const walker = newWalker(build, choose, tallies, (entry, before) => hear({ entry, build, before }));
  let job: string | undefined;
  const oddness = choose.one([0.02, 0.08, 0.15, 0.25]);
  for (let turn = 0; turn < longest; turn += 1) {
    build.ms += choose.below(4) * 60_000;
    job = turnTo(walker, job);
    if (job === undefined && notBegun(walker).length === 0) break;
    if (job === undefined) continue;
    if (choose.maybe(oddness)) doOddly(walker, choose.maybe(0.85) ? job : choose.one(build.state().jobOrder));
    else goOn(walker, job);
  }
  count(tallies, 'builds');
  return build;
};
