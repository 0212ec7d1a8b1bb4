import { shown } from '../message.ts';
import { hasWork } from '../parts/parts.ts';
import { report } from '../subject.ts';
import { itemsOf, textAt, valueOf } from '../tree.ts';
import { type Check, inspectedBy, placesOf, rawLists, stepPath } from './checking.ts';

/** Reports a hold point with nothing to inspect. */
export const checkHolds: Check = (checking) => {
  const { subject, steps, names } = checking;
  for (const [index, step] of steps.entries()) {
    if (step.hold === undefined || hasWork(step) || names.steps.unsure) continue;
    if (step.hold.of !== undefined || inspectedBy(checking, index).length > 0) continue;
    const what = index === 0 ? 'nothing has been done yet' : 'nothing has been done since the hold point before it';
    report(
      subject,
      stepPath(index, 'hold'),
      'hold-empty',
      what,
      'name what it inspects with of:, or put it after the work',
    );
  }
};

/** Reports a loose item that is still open where its gate is passed. */
export const checkLoose: Check = (checking) => {
  const { subject, steps } = checking;
  const closes = placesOf(rawLists(checking, 'closes'));
  const gates = placesOf(steps.map(({ gate }) => (gate === undefined ? [] : [gate])));
  for (const [index, step] of steps.entries())
    for (const [number, { item, before }] of step.loose.entries()) {
      const gate = gates.get(before)?.find((at) => at >= index);
      if (gate === undefined || closes.get(item)?.some((at) => at >= index && at <= gate) === true) continue;
      const what = `${shown(item)} is left open here, and ${shown(steps[gate]!.title)} passes ${before} with nothing closing it before`;
      report(subject, stepPath(index, 'loose', number), 'loose-open', what, `add closes: [${item}] before ${before}`);
    }
};

/** Reports a procedure that comes after itself. */
export const checkAfter: Check = ({ subject }) => {
  const own = textAt(subject.tree, 'procedure');
  for (const [index, item] of itemsOf(subject.tree, 'after').entries()) {
    const id = item.kind === 'text' ? item.text : textAt(item, 'procedure');
    if (id === undefined || id !== own) continue;
    report(subject, ['after', index], 'after-loop', 'the procedure comes after itself', 'take it out');
  }
};

/** Reports `twin`, which compares the sides, in a procedure without sides. */
export const checkTwins: Check = ({ subject, steps }) => {
  if (valueOf(subject.tree, 'each') !== undefined) return;
  for (const [index, step] of steps.entries())
    for (const [number, reading] of step.readings.entries())
      if (reading.kind === 'quantity' && reading.twin !== undefined)
        report(
          subject,
          stepPath(index, 'readings', number, 'twin'),
          'each-missing',
          'twin compares the sides, and the procedure has none',
          'add each: [left, right], or take it out',
        );
};
