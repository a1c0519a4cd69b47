/** What the terminal says of a running session: the shots, and what the crew must know of the links. */
import type { PipelineEvent } from '../../protocol/index.ts';
import { say, warn } from './output.ts';
import { shotLine } from './shot-lines.ts';

export function sayEvent(event: PipelineEvent): void {
  switch (event.type) {
    case 'shot':
      if (event.phase === 'closed') say(shotLine(event.shot));
      return;
    case 'link': {
      if (event.change === 'closed') return;
      const detail = event.detail === '' ? '' : ` (${event.detail})`;
      say(`Link ${event.source} ${LINK_WORDS[event.change]} at ${event.path}${detail}`);
      return;
    }
    case 'board':
      if (event.restarted) say(`Board ${event.source} has started anew (cause: ${event.resetCause}); its clock is fitted afresh.`);
      if (event.problem !== '') warn(`Board ${event.source}: ${event.problem}`);
      return;
    case 'rig-rejected':
      for (const problem of event.problems) warn(problem);
      return;
    case 'note':
      say(`Note: ${event.text}`);
      return;
    default:
  }
}

const LINK_WORDS = { opening: 'is looked for', opened: 'is open', lost: 'is LOST', closed: 'is closed' } as const;
