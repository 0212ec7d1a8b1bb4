import { readFileSync } from 'node:fs';
import { relative } from 'node:path';
import { isInSample, isWording, leftOut, nameOf, textAt, type Span } from './mutant.ts';

interface Options {
  readonly dryfit: { readonly every: number; readonly only?: readonly string[] };
}

interface Change {
  readonly id: string;
  readonly fileName: string;
  readonly mutatorName: string;
  readonly location: Span;
  readonly replacement: string;
}

type Answer = { readonly status: 'passed' } | { readonly status: 'compileError'; readonly reason: string };

/**
 * A checker of the mutation tester: it is asked of each change before any test is run with it. What it turns down is no part of the score.
 */
class LeftOut {
  static inject = ['options'] as const;
  readonly #every: number;
  readonly #only: ReadonlySet<string> | undefined;
  readonly #sources = new Map<string, string>();

  constructor({ dryfit }: Options) {
    this.#every = dryfit.every;
    this.#only = dryfit.only === undefined ? undefined : new Set(dryfit.only);
  }

  async init(): Promise<void> {
    // There is nothing to prepare.
  }

  async check(changes: readonly Change[]): Promise<Record<string, Answer>> {
    const answers = changes.map((change): [string, Answer] => {
      const reason = this.#reason(change);
      return [change.id, reason === undefined ? { status: 'passed' } : { status: 'compileError', reason }];
    });
    return Object.fromEntries(answers);
  }

  async group(changes: readonly Change[]): Promise<string[][]> {
    return [changes.map(({ id }) => id)];
  }

  #sourceOf(file: string): string {
    const source = this.#sources.get(file) ?? readFileSync(file, 'utf8');
    this.#sources.set(file, source);
    return source;
  }

  #reason({ fileName, mutatorName, location, replacement }: Change): string | undefined {
    const was = textAt(this.#sourceOf(fileName), location);
    const name = nameOf(relative(process.cwd(), fileName), mutatorName, was, replacement);
    if (this.#only !== undefined && !this.#only.has(name)) return leftOut.found;
    if (isWording(mutatorName, was)) return leftOut.wording;
    return isInSample(name, this.#every) ? undefined : leftOut.sample;
  }
}

export const strykerPlugins = [{ kind: 'Checker', name: 'left-out', injectableClass: LeftOut }];
