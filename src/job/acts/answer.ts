import { err, usage } from '../../fault/fault.ts';
import type { Finding } from '../judged.ts';
import { stampOf, touch, voidLooksAt } from '../draft.ts';
import { unanswered } from '../hold.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

type Answer = Finding['answers'][number];

/** Records what was done about a finding. Whoever answers counts as a performer of the step, so they cannot release it. */
export const answerAct: Act<'answer'> = {
  decide: (ask) => {
    const { findings } = ask.job;
    const number = ask.data.finding;
    const finding = findings.find((one) => one.number === number);
    const known = findings.map((one) => String(one.number)).join(', ');
    if (!finding) return err(usage('unknown-id', `no finding ${number} in this job`, `findings: ${known || 'none'}`));
    if (finding.closed) return err(usage('already-closed', `finding ${finding.number} is closed`, 'enter a remark'));
    const left = unanswered(ask.job, finding.step).filter((one) => one !== finding).length;
    return takeUnless(ask, undefined, [], {
      told: [left > 0 ? `${left} more to answer` : 'all are answered: it is to be looked at again'],
    });
  },
  evolve: (draft, entry) => {
    const finding = draft.findings.find((one) => one.number === entry.data.finding);
    if (!finding) return;
    finding.answers.push({ ...stampOf(entry), remark: entry.data.remark });
    touch(draft, finding.step, entry);
  },
  words: (data) => `finding ${data.finding} answered`,
  correct: correctsItem<'answer', Answer>(
    {
      items: ({ findings }) => findings.flatMap(({ answers }) => answers),
      names: { remark: 'remark' },
      steps: ({ entry }, { findings }) =>
        findings.filter(({ answers }) => answers.some((one) => one.entry === entry)).map(({ step }) => step),
    },
    {
      bare: () => 'remark',
      otherwise: 'answer the right finding, and correct this remark',
      after: (draft, { target, entry }) => {
        for (const { step, answers } of draft.findings)
          if (answers.some((one) => one.entry === target)) voidLooksAt(draft, step, entry);
      },
    },
  ),
};
