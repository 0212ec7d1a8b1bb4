import type { Step } from '../model.ts';
import { partSheet } from '../parts/parts.ts';
import {
  type Fields,
  groupField,
  type Group,
  conditionLeaf,
  names,
  plain,
  textItems,
  timeLeaf,
  words,
} from './sheet.ts';

const wordsOf = (step: Step): Fields => ({
  title: words(step.title),
  for: names(step.for),
  do: words(step.do),
  why: words(step.why),
  warning: textItems(step.warnings),
  caution: textItems(step.cautions),
  note: textItems(step.notes),
  say: words(step.say),
});

const circumstancesOf = (step: Step): Fields => ({
  takes: timeLeaf(step.takes),
  wait: partSheet('wait', step),
  'no-later-than':
    step.noLaterThan && groupField({ after: names(step.noLaterThan.after), time: timeLeaf(step.noLaterThan.time) }),
  people: plain(step.people),
  materials: names(step.materials),
  parts: names(step.parts),
  place: plain(step.place),
  critical: plain(step.critical),
  'only-if': step.onlyIf && groupField({ reading: plain(step.onlyIf.reading), is: conditionLeaf(step.onlyIf.is) }),
  'in-pot-life-of': names(step.inPotLifeOf),
  'after-stage':
    step.afterStage && groupField({ cure: names(step.afterStage.cures), stage: plain(step.afterStage.stage) }),
  'back-to': plain(step.backTo),
  again:
    step.again &&
    groupField({ at: textItems(step.again.at), every: plain(step.again.every), count: plain(step.again.count) }),
});

const featuresOf = (step: Step): Fields => ({
  permanent: plain(step.permanent),
  sets: names(step.sets),
  proves: names(step.proves),
  'relies-on': names(step.reliesOn),
  covers: names(step.covers),
  uncovers: names(step.uncovers),
  reaches: names(step.reaches),
  gate: plain(step.gate),
});

const partsOf = (step: Step): Fields => ({
  readings: partSheet('reading', step),
  results: partSheet('result', step),
  tighten: partSheet('tighten', step),
  mix: partSheet('mix', step),
  cure: partSheet('cure', step),
  break: partSheet('break', step),
  hold: partSheet('hold', step),
  loose: partSheet('loose', step),
  closes: names(step.closes),
  photo: partSheet('photo', step),
});

/** The sheet of a step, without its id. */
export const stepSheet = (step: Step): Group =>
  groupField({ ...wordsOf(step), ...circumstancesOf(step), ...featuresOf(step), ...partsOf(step) });
