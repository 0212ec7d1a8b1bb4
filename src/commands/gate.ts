import { proposedGates } from '../aircraft/gates/list.ts';
import { gatesKnown, nextGate, sheetNow, type GateNow } from '../aircraft/gate-now.ts';
import type { BuildState } from '../aircraft/state.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { unknownId } from '../fault/unknown.ts';
import { exceptionWords, gateItemWords, withoutKey } from '../job/gate-sheet.ts';
import { instantText } from '../report/people.ts';
import { wrap } from '../report/wrap.ts';
import { readBuildDraft } from '../workshop/draft.ts';
import { newPages } from '../workshop/procedures/new-pages.ts';
import { lineWidth } from './columns.ts';
import { failed } from './fail.ts';
import { withState } from './open.ts';
import type { CommandSpec } from './spec.ts';

/** The gate that is asked about; without a word the first that is not passed, and the last where all are. */
const gateAsked = (state: BuildState, word: string | undefined): Outcome<string> => {
  const known = gatesKnown(state);
  if (word === undefined) {
    const gate = nextGate(state) ?? known.at(-1);
    const todo = `list them in build.yaml, in order: gates: [${proposedGates.join(', ')}]`;
    return gate === undefined ? err(usage('gates-missing', 'the build names no gate', todo)) : ok(gate);
  }
  return known.includes(word) ? ok(word) : err(unknownId(`no gate '${word}'`, word, known));
};

const list = (items: readonly string[], width: number): readonly string[] =>
  items.flatMap((item) => wrap(`  ${item}`, width, 4));

const sheetLines = ({ gate, open, excepted, passed }: GateNow, width: number): readonly string[] => [
  `Gate ${gate}: ${passed === undefined ? 'not passed' : `passed ${instantText(passed)}`}`,
  ...(open.length === 0 ? ['Nothing is open.'] : [`Open: ${open.length}`]),
  ...list(open.map(gateItemWords), width),
  ...(excepted.length === 0 ? [] : [`Excepted: ${excepted.length}`]),
  ...list(excepted.map(exceptionWords), width),
];

export const gateCommand: CommandSpec = {
  name: 'gate',
  about: 'the gate sheet as it stands: what is open before a gate, and what is excepted',
  usage: ['dryfit gate [GATE]'],
  options: {},
  more: [
    'Without GATE: the first gate that is not passed. The gates, and the plan of what is complete before each, are in build.yaml (gates, plan).',
    'Where something must stay open: dryfit do JOB depart gate-open says=… did=… because=… excepts what is open then, each item by name.',
  ],
  run: (call) =>
    withState(call, 'read', ({ workshop, place }) => {
      const [word, ...extra] = call.words;
      if (extra.length > 0)
        return failed(call, usage('word-extra', 'one gate is asked about at a time', 'write: dryfit gate GATE'));
      const state = workshop.state();
      const draft = readBuildDraft({ place });
      if (draft.ok && draft.value?.file !== undefined && draft.value.sha256 !== state.fileSha256)
        call.print.note(
          'note: build.yaml has changed; the next entry takes it in, and this sheet is of the build in force',
        );
      const gate = gateAsked(state, word);
      if (!gate.ok) return failed(call, gate.fault);
      const sheet = sheetNow(state, gate.value, Math.max(place.wall(), state.lastAt));
      for (const page of newPages(
        place,
        state.pages.map(({ procedure }) => procedure),
      ))
        call.print.note(`note: new in the procedures folder: ${page}; the next start takes it into the plan`);
      if (call.flag('json'))
        call.print.json({ ...sheet, open: sheet.open.map(withoutKey), excepted: sheet.excepted.map(withoutKey) });
      else call.print.lines(...sheetLines(sheet, lineWidth(call)));
      return 0;
    }),
};
