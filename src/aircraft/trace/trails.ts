import type { JobState } from '../../job/state.ts';
import { batchTrails } from './batches.ts';
import { lotTrails } from './lots.ts';
import { partTrails, serialTrails } from './parts.ts';
import { personTrails } from './people.ts';
import { tagTrails } from './tags.ts';
import { toolTrails } from './tools.ts';
import type { Thing, Trail } from './trail.ts';

/** Every kind of thing on which work can rest, and its trails through one job. */
const kinds: { readonly [K in Thing['kind']]: (job: JobState) => readonly Trail[] } = {
  lot: lotTrails,
  batch: batchTrails,
  tool: toolTrails,
  part: partTrails,
  serial: serialTrails,
  tag: tagTrails,
  person: personTrails,
};

/** Everything on which the work of a job rests, each thing with what rests on it there. Both directions of a trace are read from these. */
export const trailsIn = (job: JobState): readonly Trail[] => Object.values(kinds).flatMap((trails) => trails(job));
