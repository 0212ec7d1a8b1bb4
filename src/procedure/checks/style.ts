import { shown } from '../message.ts';
import { sourcedOf } from '../parts/parts.ts';
import { report } from '../subject.ts';
import { type Check, stepPath } from './checking.ts';

/** Verbs that change the work. Where one step has two of them, one is easily forgotten. */
const works =
  'apply|assemble|attach|bolt|bond|clamp|clean|close|coat|connect|cut|deburr|disconnect|drain|drill|fasten|file|fill|fit|glue|grind|heat|install|join|lock|mix|open|paint|pin|plane|press|ream|remove|replace|rivet|rout|sand|saw|seal|sew|shrink|spread|staple|swage|tighten|torque|trim|turn|varnish|weld|wire';

/** Verbs that begin an instruction, in a warning too. */
const instructs = `${works}|check|disconnect|ensure|ground|hold|keep|lift|look|lower|make|measure|put|read|stand|stay|switch|use|ventilate|wait|wear|wipe`;

const startsWith = (verbs: string): RegExp => new RegExp(`^(?:${verbs})\\b`, 'i');
const secondWork = new RegExp(`(?:\\band (?:then )?|\\bthen |; )(?:${works})\\b`, 'i');
const [startsWork, startsInstruction] = [startsWith(works), startsWith(instructs)];

const sentencesOf = (text: string): readonly string[] =>
  text
    .split(/(?<=[.!?:;])\s+/)
    .map((sentence) => sentence.trim())
    .filter((sentence) => sentence !== '');

const hasTwoActions = (text: string): boolean => {
  const works = sentencesOf(text).filter((sentence) => startsWork.test(sentence));
  return works.length > 1 || (works.length === 1 && secondWork.test(works[0]!)) || /\band then\b/i.test(text);
};

const wordCount = (text: string): number => text.split(/\s+/).filter((word) => word !== '').length;

const longestDo = 60;

/** Reports a step that is hard to follow at the bench: two actions, too many words, an instruction in a warning. */
export const checkStyle: Check = ({ subject, steps }) => {
  for (const [index, step] of steps.entries()) {
    const warn = (key: string, code: 'two-actions' | 'do-long' | 'warning-instruction', what: string, todo: string) =>
      report(subject, stepPath(index, key), code, what, todo, 'warning');
    if (step.do !== undefined && hasTwoActions(step.do))
      warn('do', 'two-actions', 'the step holds two actions', 'make two steps of it');
    const words = step.do === undefined ? 0 : wordCount(step.do);
    if (words > longestDo)
      warn('do', 'do-long', `${words} words are too many to read at the bench`, 'make two steps of it');
    const hidden = step.warnings.flatMap(sentencesOf).find((sentence) => startsInstruction.test(sentence));
    if (hidden !== undefined)
      warn('warning', 'warning-instruction', `the warning holds an instruction: ${shown(hidden)}`, 'move it to do:');
  }
};

/** Reports limits that do not say where they come from. */
export const checkSources: Check = ({ subject, steps }) => {
  for (const [index, step] of steps.entries())
    for (const { name, source, path } of sourcedOf(step)) {
      if (source !== undefined) continue;
      const what = `nothing says where the limits of ${name} come from`;
      report(subject, stepPath(index, ...path), 'source-missing', what, 'add source:', 'warning');
    }
};
