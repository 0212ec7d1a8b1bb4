import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { own } from '../fault/own.ts';
import { unknownId } from '../fault/unknown.ts';
import type { JobState } from './state.ts';
import type { Surroundings } from './surroundings.ts';

/** The individual tool of a value: the one named, or the one in use for its kind. The tool must be of that kind and listed in the build. */
export const toolAsked = (
  job: JobState,
  { tools }: Pick<Surroundings, 'tools'>,
  kind: string | undefined,
  said: string | undefined,
): Outcome<string | undefined> => {
  if (said === undefined) return ok(kind === undefined ? undefined : own(job.tools, kind));
  const tool = own(tools, said);
  if (!tool)
    return err(
      unknownId(`the build has no tool '${said}'`, said, Object.keys(tools), 'enter it in build.yaml (tools)'),
    );
  return kind === undefined || tool.kind === kind
    ? ok(said)
    : err(usage('value-unreadable', `${said} is a ${tool.kind}, a ${kind} is wanted`, `name a ${kind}`));
};
