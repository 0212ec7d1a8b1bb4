import { looseStatus } from '../aircraft/status.ts';
import { failed, wordsGiven } from './fail.ts';
import { withState } from './open.ts';
import type { CommandSpec } from './spec.ts';

export const looseCommand: CommandSpec = {
  name: 'loose',
  about: 'what is left loose on purpose, by the gate before which it is closed',
  usage: ['dryfit loose'],
  options: {},
  more: [
    'Left with: dryfit do JOB loose ITEM count=… left=… because=… before=GATE; closed with: dryfit do JOB close TAG count=…',
    'What no longer exists is closed with count=0 and its reason; so is a step left for later that is not done, which is a departure.',
  ],
  run: (call) =>
    withState(call, 'read', ({ workshop }) => {
      const extra = wordsGiven(call, 'loose');
      if (extra) return failed(call, extra);
      const items = looseStatus(workshop.state());
      if (call.flag('json')) call.print.json({ loose: items });
      else if (items.length === 0) call.print.lines('nothing is left loose');
      else
        for (const gate of new Set(items.map(({ before }) => before)))
          call.print.lines(
            `before ${gate}`,
            ...items
              .filter(({ before }) => before === gate)
              .map(({ tag, item, open, left, job }) => `  ${tag} ${item}: ${open} ${left} (${job})`),
          );
      return 0;
    }),
};
