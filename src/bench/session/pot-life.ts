import { wetMixes } from '../../aircraft/status.ts';
import { departureFor } from '../../job/departure.ts';
import { potLifeNow, type PotLifeNow } from '../../job/potlife.ts';
import { isOver } from '../../job/where.ts';
import type { JobNow } from '../job-now.ts';
import { stepsNow } from '../steps-now.ts';

/** The pot life that runs for glue which is still to be used, in any step of a job. */
export const potLifeFor = ({ job, around, facts }: JobNow): PotLifeNow | undefined =>
  isOver(job) ? undefined : potLifeNow(job, wetMixes(job), around, facts.now.ms);

/** The pot life that is over, of glue still to be used, unless a departure has been entered for it: this rings the bell. */
export const glueOver = (here: JobNow): PotLifeNow | undefined => {
  const life = potLifeFor(here);
  const isOver = life !== undefined && life.ends < here.facts.now.ms;
  return isOver && !departureFor(here.job, 'pot-life-over', stepsNow(here.job).open) ? life : undefined;
};
