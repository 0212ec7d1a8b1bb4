import { usage } from '../fault/fault.ts';
import { passedOverIn } from '../workshop/procedures/siblings.ts';
import { printDone } from './do.ts';
import { failed, notePassedOver } from './fail.ts';
import { submit, whoEnters, withState } from './open.ts';
import type { CommandSpec } from './spec.ts';

export const startCommand: CommandSpec = {
  name: 'start',
  about: 'starts a job, and opens it where there is a terminal',
  usage: ['dryfit start PROCEDURE [--each SIDE]'],
  options: { each: { type: 'string', value: 'SIDE', about: 'which side, where the procedure has several' } },
  more: [
    'What it needs is shown, and refuses nothing here. Without a terminal, or with --json or --plain, it prints the job.',
  ],
  run: (call) =>
    withState(call, 'write', async (opened) => {
      const [procedure] = call.words;
      if (procedure === undefined)
        return failed(call, usage('word-missing', 'no procedure is named', 'write: dryfit start PROCEDURE'));
      const by = whoEnters(opened);
      if (!by.ok) return failed(call, by.fault);
      const each = call.text('each');
      const data = { procedure, ...(each === undefined ? {} : { each }) };
      const done = await submit(call, opened, { verb: 'start', job: '', by: by.value, data });
      if (!done.ok) return failed(call, done.fault);
      // A job depends on the procedures beside its own, so those that cannot be read are listed.
      notePassedOver(
        call,
        passedOverIn(opened.workshop.openState).map(({ what }) => what),
      );
      const { isAtBench, openAt } = await import('./bench.ts');
      return isAtBench(call) ? openAt(call, opened, done.value.job) : printDone(call, done.value);
    }),
};
