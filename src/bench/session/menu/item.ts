import { gatePassedAt } from '../../../aircraft/gates/passed.ts';
import type { JobState } from '../../../job/state.ts';
import type { Act, BenchFacts } from '../../ports.ts';
import type { ThemeName } from '../../theme.ts';
import type { Choice, Form, Question } from '../form.ts';
import type { InfoPage, MenuGroup, View } from '../state.ts';

/** What an item of the menu does. */
export type Opens =
  | { readonly kind: 'group'; readonly menuGroup: MenuGroup }
  | { readonly kind: 'form'; readonly form: Form }
  | { readonly kind: 'act'; readonly act: Omit<Act, 'by'> }
  | { readonly kind: 'info'; readonly info: InfoPage }
  | { readonly kind: 'sign-on'; readonly person: string }
  | { readonly kind: 'view'; readonly view: View }
  | { readonly kind: 'theme'; readonly theme: ThemeName }
  /** The page of a procedure that can be started. */
  | { readonly kind: 'start'; readonly procedure: string }
  | { readonly kind: 'calculators' }
  | { readonly kind: 'jobs' }
  /** Another job, such as the other side of a twin. */
  | { readonly kind: 'job'; readonly job: string }
  | { readonly kind: 'leave' };

export interface MenuItem {
  readonly label: string;
  readonly aside?: string;
  readonly opens: Opens;
}

export const askText = (name: string, ask: string, required = true): Question => ({
  name,
  ask,
  kind: 'text',
  required,
});
export const askWhole = (name: string, ask: string): Question => ({ name, ask, kind: 'whole', required: true });
export const choice = (name: string, ask: string, choices: readonly Choice[]): Question =>
  choices.length > 0 ? { name, ask, kind: 'choice', required: true, choices } : askText(name, ask);

export const because = askText('because', 'Because');

/** The gates that are still to come. */
export const gateChoices = (facts: BenchFacts): readonly Choice[] =>
  facts.build.file.gates
    .filter((gate) => gatePassedAt(facts.build, gate) === undefined)
    .map((gate) => ({ value: gate, label: gate }));

interface FormSpec {
  readonly title: string;
  readonly about?: readonly string[];
  readonly fixed?: Form['fixed'];
  readonly questions: readonly Question[];
}

export const formOf = (verb: Form['verb'], job: string, spec: FormSpec): MenuItem['opens'] => ({
  kind: 'form',
  form: {
    key: `menu ${verb} ${job} ${JSON.stringify(spec.fixed ?? {})}`,
    title: spec.title,
    about: spec.about ?? [],
    verb,
    job,
    fixed: spec.fixed ?? {},
    questions: spec.questions,
  },
});

export const item = (label: string, opens: Opens, aside?: string): MenuItem => ({
  label,
  opens,
  ...(aside === undefined ? {} : { aside }),
});

export const group = (label: string, to: MenuGroup, aside: string): MenuItem =>
  item(label, { kind: 'group', menuGroup: to }, aside);

export const calculators: MenuItem = {
  label: 'calculate',
  aside: 'the trade’s arithmetic',
  opens: { kind: 'calculators' },
};

export const info = (label: string, to: InfoPage): MenuItem => item(label, { kind: 'info', info: to });

/** A form that a step asks for too, opened from the menu. */
export const formItem = (label: string, form: Form, aside?: string): MenuItem =>
  item(label, { kind: 'form', form: { ...form, key: `menu ${form.key}` } }, aside);

/** Why an entry is corrected. */
export const correctReason = askText('reason', 'Why: what was wrong with it');

/**
 * Corrects one value of an entry. `unit` is that of a bare number, where the value is a quantity with one. `field` names the value, where
 * the entry has several.
 */
export const correctItem = (
  job: JobState,
  entry: string,
  label: string,
  value: string,
  unit?: string,
  field?: string,
): MenuItem =>
  item(
    label,
    formOf('correct', job.id, {
      title: `Correct ${label}`,
      about: [`Entered: ${value}. It stays readable, struck.`],
      fixed: { entry },
      questions: [
        {
          name: field === undefined ? 'value' : `value.${field}`,
          ask: 'What should have been entered',
          kind: unit === undefined ? 'text' : 'quantity',
          required: true,
          ...(unit === undefined ? {} : { unit }),
        },
        correctReason,
      ],
    }),
    value,
  );
