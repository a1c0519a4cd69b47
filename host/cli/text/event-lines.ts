/** What the terminal says of a running session: the shots, and what the crew must know of boards and links. */
import type {
  BoardEvent,
  ClockEvent,
  FillEvent,
  LimitEvent,
  LinkEvent,
  PipelineEvent,
  RigSummary,
  TextLinesEvent,
} from '../../../protocol/index.ts';
import { cameraLine } from '../camera/camera-line.ts';
import { say, warn } from '../output.ts';
import { shotLine } from '../shots/shot-lines.ts';
import { adjustedLine, CrewLines, type Said, weighedLine } from './crew-lines.ts';

/** With fewer the clock's rate is the rig file's claim. */
const EXCHANGES_FITTED = 2;

/** What was said of a board, so that it is said once; boards are as many as the rig file names. */
interface BoardSaid {
  readonly boardId?: string;
  readonly problem?: string;
  readonly isFitted?: boolean;
}

export class EventLines {
  readonly #boards = new Map<string, BoardSaid>();
  readonly #crew = new CrewLines();
  #rig: RigSummary | undefined;
  #newestShot = 0;
  /** By text instrument: how many unread lines were told of. */
  readonly #unreadSaid = new Map<string, number>();
  #leakSaidOfNs: number | undefined;

  /** The lines for one event; most have none. */
  of(event: PipelineEvent): readonly Said[] {
    switch (event.type) {
      case 'shot': {
        if (event.phase !== 'closed') return [];
        const again = event.shot.number <= this.#newestShot ? 'Again, with what came late: ' : '';
        this.#newestShot = Math.max(this.#newestShot, event.shot.number);
        return [plain(`${again}${shotLine(event.shot)}`)];
      }
      case 'link':
        return linkLines(event);
      case 'board':
        return this.#boardLines(event);
      case 'clock':
        return this.#clockLines(event);
      case 'rig-rejected':
        return event.problems.map(trouble);
      case 'note':
        return [plain(`Note${event.who ? ` by ${event.who}` : ''}: ${event.text}`)];
      case 'session':
        this.#rig = event.rig;
        return [];
      case 'adjusted':
        return [plain(adjustedLine(event, this.#rig))];
      case 'hold-points':
        return this.#crew.holdPoints(event).map(plain);
      case 'impacts':
        return this.#crew.impacts(event).map(plain);
      case 'weather':
        return this.#crew.weather(event);
      case 'shot-excluded':
        return [plain(`Shot ${event.shotId} ${event.excluded ? 'left out' : 'taken in again'} by ${event.who}: ${event.reason}.`)];
      case 'shot-camera':
        return [plain(cameraLine(event))];
      case 'shot-weighed':
        return [plain(weighedLine(event))];
      case 'limit':
        return limitLines(event);
      case 'health':
        // On the way from silence to health there is nothing to do.
        return event.was === 'waiting' && event.health === 'healthy' ? [] : [plain(`Channel ${event.words}`)];
      case 'blow-down':
        return [plain(event.words)];
      case 'fill':
        return this.#leakLines(event);
      case 'offset':
        return event.verdict === 'beyond-claim' ? [trouble(event.words)] : [];
      case 'text-lines':
        return this.#unreadLines(event);
      case 'act-refused':
        return [trouble(`Not done: ${event.why}.`)];
      default:
        return [];
    }
  }

  /** Once a hold, where the leak is surely more than the crew want to be able to see. */
  #leakLines({ phase, hold, words }: FillEvent): readonly Said[] {
    if (phase !== 'steady' || !hold || hold.fromNs === this.#leakSaidOfNs) return [];
    const { leakPaPerS, leakToSeePaPerS } = hold;
    if (leakPaPerS.value - leakPaPerS.expandedUncertainty <= leakToSeePaPerS) return [];
    this.#leakSaidOfNs = hold.fromNs;
    return [trouble(`Leak: ${words}`)];
  }

  /** At the first that cannot be read, and whenever they have become ten times as many. */
  #unreadLines({ source, lines, unread, lastUnread }: TextLinesEvent): readonly Said[] {
    const count = Object.values(unread).reduce((sum, each) => sum + each, 0);
    const said = this.#unreadSaid.get(source) ?? 0;
    if (count === 0 || count < 10 * said) return [];
    this.#unreadSaid.set(source, count);
    return [trouble(`Instrument ${source}: ${count} of ${lines} lines could not be read, the last: ${lastUnread}`)];
  }

  #boardLines({ source, boardId, restarted, resetCause, problem }: BoardEvent): readonly Said[] {
    const said = this.#boards.get(source) ?? {};
    this.#boards.set(source, { boardId, problem, isFitted: !restarted && (said.isFitted ?? false) });
    return [
      ...(restarted ? [plain(`Board ${source} has started anew (cause: ${resetCause}); its clock is fitted afresh.`)] : []),
      ...(boardId === said.boardId ? [] : [plain(`Board ${source} is ${boardId}`)]),
      ...(problem === '' || problem === said.problem ? [] : [trouble(`Board ${source}: ${problem}`)]),
    ];
  }

  #clockLines({ source, exchanges }: ClockEvent): readonly Said[] {
    const said = this.#boards.get(source) ?? {};
    if (said.isFitted || exchanges < EXCHANGES_FITTED) return [];
    this.#boards.set(source, { ...said, isFitted: true });
    return [plain(`Clock of board ${source} is fitted to this computer's; each further exchange refines it`)];
  }
}

/** Says them on the terminal. */
export function eventSayer(): (event: PipelineEvent) => void {
  const lines = new EventLines();
  return (event) => {
    for (const { text, isTrouble } of lines.of(event)) (isTrouble ? warn : say)(text);
  };
}

function linkLines({ source, change, path, detail }: LinkEvent): readonly Said[] {
  if (change === 'closed' || change === 'opened') return [];
  const text = `Link ${source} ${LINK_WORDS[change]}${path === '' ? '' : ` at ${path}`}${detail === '' ? '' : `: ${detail}`}`;
  return [change === 'wrong-device' ? trouble(text) : plain(text)];
}

/** An alarm is told as it comes, goes and is acknowledged; a warning as it comes. */
function limitLines({ severity, state, was, words }: LimitEvent): readonly Said[] {
  if (state === 'active' && was !== 'active-acknowledged') return [trouble(`${severity === 'alarm' ? 'ALARM' : 'Warning'}: ${words}`)];
  return severity === 'alarm' ? [plain(words)] : [];
}

const plain = (text: string): Said => ({ text, isTrouble: false });
const trouble = (text: string): Said => ({ text, isTrouble: true });

const LINK_WORDS = {
  searching: 'is looked for',
  opening: 'is being opened',
  running: 'is running',
  silent: 'is SILENT',
  lost: 'is LOST',
  'wrong-device': 'has the WRONG DEVICE',
} as const;
