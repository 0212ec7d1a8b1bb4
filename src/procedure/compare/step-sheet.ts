import type { Step } from '../model.ts';
import { cureSheet, holdSheet, looseSheet, mixSheet, readingSheet, resultSheet, tightenSheet } from './part-sheets.ts';
import {
  type Fields,
  groupField,
  type Group,
  conditionLeaf,
  listItems,
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
  wait: timeLeaf(step.wait),
  people: plain(step.people),
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
  readings: listItems(
    'ids',
    step.readings.map((reading) => ({ id: reading.reading, node: readingSheet(reading) })),
  ),
  results: listItems(
    'ids',
    step.results.map((result) => ({ id: result.result, node: resultSheet(result) })),
  ),
  tighten: step.tighten && tightenSheet(step.tighten),
  mix: step.mix && mixSheet(step.mix),
  cure: step.cure && cureSheet(step.cure),
  break: step.break && groupField({ of: names(step.break.of), 'not-before': plain(step.break.notBefore) }),
  hold: step.hold && holdSheet(step.hold),
  loose: listItems(
    'ids',
    step.loose.map((loose) => ({ id: loose.item, node: looseSheet(loose) })),
  ),
  closes: names(step.closes),
  photo: listItems(
    'ids',
    step.photos.map((photo) => ({
      id: photo.photo,
      node: groupField({ show: words(photo.show), from: words(photo.from) }),
    })),
  ),
});

/** A step but for its id. */
export const stepSheet = (step: Step): Group =>
  groupField({ ...wordsOf(step), ...circumstancesOf(step), ...featuresOf(step), ...partsOf(step) });
