import { usage, type Outcome, err } from '../fault/fault.ts';
import type { StepAhead, StepNamed } from '../procedure/ahead-report.ts';
import { wrap } from '../report/wrap.ts';
import { aheadInFolder, type FolderAhead } from '../workshop/procedures/siblings.ts';
import { labelledLines, lineWidth } from './columns.ts';
import { failed, notePassedOver } from './fail.ts';
import { configurationOf } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

/** Columns of the labels in front of what is printed. */
const labelWidth = 16;

const label = (name: string, text: string, width: number): readonly string[] =>
  labelledLines(name, text, width, labelWidth);

const order: Readonly<Record<StepNamed['when'], string>> = {
  before: '',
  below: '',
  after: ', which comes after',
  open: ', in no fixed order with it',
};

const nameOf = (named: StepNamed, own: string): string => {
  const side = named.side === undefined ? '' : ` ${named.side}`;
  const isOwn = named.procedure === own && (named.when === 'below' || named.when === 'before');
  const of = isOwn ? '' : ` of ${named.procedure}${side}`;
  return `${named.title} (${named.step})${of}${order[named.when]}`;
};

/** One line for each item; where there is none, one with the words for that. */
const list = (
  name: string,
  items: readonly StepNamed[],
  own: string,
  none: string,
  width: number,
): readonly string[] =>
  items.length === 0
    ? label(name, none, width)
    : items.flatMap((item, index) => label(index === 0 ? name : '', nameOf(item, own), width));

const lines = (own: string, step: StepAhead, width: number): readonly string[] => {
  const side = step.side === undefined ? '' : ` ${step.side}`;
  const mark = step.permanent ? 'PERMANENT' : 'not marked permanent';
  return [
    ...wrap(`${own}${side}, ${step.step}: ${step.title} (${mark})`, width),
    ...(step.with === undefined ? [] : label('  begins with', `${step.with}: the glue will bind it`, width)),
    ...(step.features.length === 0 ? label('  makes fast', 'no feature', width) : []),
    ...step.features.flatMap(({ feature, provedBy, reliedOnBy }) => [
      ...label('  makes fast', feature, width),
      ...list('    proved by', provedBy, own, 'nothing before it', width),
      ...list('    needed by', reliedOnBy, own, 'nothing', width),
    ]),
    ...(step.covers.length === 0 ? label('  covers', 'nothing', width) : []),
    ...step.covers.flatMap(({ area, reachedBy }) => [
      ...label('  covers', area, width),
      ...list('    to reach it', reachedBy, own, 'nobody any more', width),
    ]),
    ...step.reaches.flatMap(({ area, coveredBy }) => [
      ...label('  reaches', area, width),
      ...list('    covered by', coveredBy, own, 'nothing before it', width),
    ]),
    ...(step.gate === undefined ? [] : label('  gate', step.gate, width)),
    ...(step.people > 1 ? label('  people', String(step.people), width) : []),
  ];
};

const read = (call: Call): Outcome<FolderAhead> => {
  const [id, step, ...more] = call.words;
  if (id === undefined || step === undefined)
    return err(usage('word-missing', 'no step of a procedure is named', 'write: dryfit ahead PROCEDURE STEP'));
  if (more.length > 0)
    return err(usage('word-extra', 'one step is looked at at a time', 'write: dryfit ahead PROCEDURE STEP'));
  const configuration = configurationOf(call);
  if (!configuration.ok) return configuration;
  const asked = { procedure: id, step, side: call.text('each') };
  return aheadInFolder(configuration.value.place, asked);
};

const run = (call: Call): number => {
  const found = read(call);
  if (!found.ok) return failed(call, found.fault);
  const { steps, passedOver } = found.value;
  const [procedure = ''] = call.words;
  notePassedOver(
    call,
    passedOver.map(({ what }) => what),
  );
  if (call.flag('json')) call.print.json({ procedure, steps, passedOver });
  else {
    const width = lineWidth(call);
    call.print.lines(
      ...steps.flatMap((step, index) => [...(index === 0 ? [] : ['']), ...lines(procedure, step, width)]),
    );
  }
  return 0;
};

export const aheadCommand: CommandSpec = {
  name: 'ahead',
  about: 'what a step makes permanent and covers, and who still needs it',
  usage: ['dryfit ahead PROCEDURE STEP [--each SIDE]'],
  options: { each: { type: 'string', value: 'SIDE', about: 'which side, where the procedure has several (else all)' } },
  more: [
    'It looks across all procedures of the folder: what relies on a feature, who must still reach an area, and what may have covered it.',
    'A step that mixes glue is told with every permanent step that the glue will bind. Procedures that cannot be read are passed over and named.',
  ],
  run,
};
