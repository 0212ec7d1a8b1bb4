import { traceOf } from '../aircraft/trace.ts';
import { usage } from '../fault/fault.ts';
import { failed } from './fail.ts';
import { withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';
import { traceLines } from './trace-lines.ts';

const run = (call: Call, opened: OpenedWorkshop): number => {
  const [word, step, ...more] = call.words;
  if (word === undefined || more.length > 0)
    return failed(
      call,
      usage(
        word === undefined ? 'word-missing' : 'word-extra',
        'trace needs one word, or a job and a step',
        'write: dryfit trace B-1, or dryfit trace JOB STEP',
      ),
    );
  const trace = traceOf(opened.workshop.state(), step === undefined ? word : `${word} ${step}`);
  if (!trace.ok) return failed(call, trace.fault);
  if (call.flag('json')) call.print.json(trace.value);
  else call.print.lines(...traceLines(trace.value));
  return 0;
};

export const traceCommand: CommandSpec = {
  name: 'trace',
  about: 'every joint and value that rests on a lot, tool, part, tag or person, and back',
  usage: ['dryfit trace LOT, BATCH, TOOL, TAG, PART, SERIAL or PERSON', 'dryfit trace JOB [STEP]'],
  options: {},
  more: [
    "The maker's number of a lot, a batch (B-1) or its sample, a tool, a part or its serial number, a tag (T-1), or a person: each",
    'joint, value, fastener, result, cure and sample that rests on it, in every job, and what was built over it since: by a feature, an',
    'area, or a procedure that comes after. A word that means several things traces them all.',
    'The way back: a job, a step of it, or a reading gives everything on which it rests.',
  ],
  run: (call) => withState(call, 'read', (opened) => run(call, opened)),
};
