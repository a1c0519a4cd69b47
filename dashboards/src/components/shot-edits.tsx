/** What was done to one shot, and what can be done to it from here. Each act is a record of the session that runs. */
import { useCallback, useEffect, useState } from 'preact/hooks';
import type { Shot, StoredAct } from '../../../protocol/index.ts';
import { keyHeaders } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { mayAct } from '../state/may-act.ts';
import { perform } from '../state/operator.ts';
import { actTold } from '../text/act-told.ts';
import { sentence } from '../text/sentence.ts';
import { ImpactOf } from './aim-forms.tsx';
import { ReasonForm } from './reason-form.tsx';
import { WeighForm } from './weigh-form.tsx';

const NOTE_CHARACTERS_MAX = 400;

type Acts = { readonly acts: readonly StoredAct[] } | { readonly problem: string } | undefined;

export interface ShotEditsProps {
  readonly shot: Shot;
  readonly name: string;
  readonly isOpen: boolean;
}

export function ShotEdits({ shot, name, isOpen }: ShotEditsProps) {
  const [isShown, setShown] = useState(isOpen);
  const [acts, setActs] = useState<Acts>(undefined);
  const fetchActs = useCallback(async () => setActs(await askActs(shot.id)), [shot.id]);
  // Told live, by this page or by another.
  const said = [shot.exclusion, shot.weighed, ...(shot.cameras ?? []).flatMap((camera) => [camera, camera.withdrawal])]
    .map((each) => each?.atNs ?? '')
    .join(' ');
  useEffect(() => {
    if (isShown) void fetchActs();
  }, [fetchActs, isShown, said]);
  const elsewhere = shot.sessionId === session.value?.sessionId ? undefined : shot.sessionId;
  return (
    <details class="budget shot-edits" open={isOpen} onToggle={(event) => setShown(event.currentTarget.open)}>
      <summary>History of {name}; notes, leaving out, mass and impact</summary>
      <ActList acts={acts} />
      {mayAct.value && session.value && (
        <>
          {elsewhere && (
            <p class="note">
              A shot of session {elsewhere}: its journal is not changed. What is done here is kept in the session that runs, and holds for
              the shot from then on, in this list, in map and drag. Its mass and its impact can be told only while its own session runs:
              they need what only that session knew, its edges, clocks and aim. With another mass it can be looked at all the same: replay
              its journal under a rig file that has it, <code>postern replay JOURNAL --rig RIG.yaml</code>.
            </p>
          )}
          <ExclusionForm shot={shot} name={name} elsewhere={elsewhere} then={fetchActs} />
          {!elsewhere && (
            <>
              <WeighForm shot={shot} name={name} then={fetchActs} />
              <ImpactOf shotId={shot.id} name={name} />
            </>
          )}
          <NoteOnShot shot={shot} name={name} elsewhere={elsewhere} then={fetchActs} />
        </>
      )}
    </details>
  );
}

function ActList({ acts }: { readonly acts: Acts }) {
  if (!acts) return <p class="empty">Fetching what was done to it…</p>;
  if ('problem' in acts) return <p class="notice">What was done to it could not be had: {sentence(acts.problem)}</p>;
  if (acts.acts.length === 0) return <p class="empty">Nothing was done to it.</p>;
  return (
    <ol class="note-list">
      {acts.acts.map(({ session: of, at, event }) => (
        <li key={`${of} ${event.atNs} ${actTold(event)}`}>
          <p class="detail figures">
            {at === '' ? of : `${at.slice(0, 10)} ${at.slice(11, 19)} UTC`} · {event.who ?? 'somebody who did not say'} · session {of}
          </p>
          <p>{actTold(event)}</p>
        </li>
      ))}
    </ol>
  );
}

async function askActs(id: string): Promise<NonNullable<Acts>> {
  try {
    const answer = await fetch(`/api/shots/${encodeURIComponent(id)}/acts`, { headers: keyHeaders() });
    if (answer.status === 404) return { problem: 'this host keeps no store' };
    return answer.ok ? { acts: (await answer.json()) as readonly StoredAct[] } : { problem: `the host answered ${answer.status}` };
  } catch (error) {
    return { problem: error instanceof Error ? error.message : String(error) };
  }
}

interface FormProps {
  readonly shot: Shot;
  readonly name: string;
  /** The shot's session where it is an earlier one. */
  readonly elsewhere: string | undefined;
  readonly then: () => Promise<void>;
}

function ExclusionForm({ shot, name, elsewhere, then }: FormProps) {
  const isOut = shot.exclusion !== undefined;
  const verb = isOut ? 'Take in again' : 'Leave out';
  const send = async (reason: string) => {
    const place = elsewhere === undefined ? {} : { sessionId: elsewhere };
    const act = { act: 'exclude', shotId: shot.id, ...place, excluded: !isOut, reason } as const;
    const isDone = await perform(act, `${verb}, ${name}`);
    if (isDone) await then();
    return isDone;
  };
  return <ReasonForm why={`Why ${name} is ${isOut ? 'taken in again' : 'left out of every mean and fit'}`} verb={verb} onDo={send} />;
}

function NoteOnShot({ shot, name, elsewhere, then }: FormProps) {
  const [text, setText] = useState('');
  const send = async () => {
    const place = elsewhere === undefined ? {} : { sessionId: elsewhere };
    if (!(await perform({ act: 'note', text: text.trim(), shotId: shot.id, ...place }, `Note on ${name}`))) return;
    setText('');
    await then();
  };
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim() !== '') void send();
      }}
    >
      <label class="grow">
        Note on {name}
        <textarea rows={2} maxLength={NOTE_CHARACTERS_MAX} value={text} onInput={(event) => setText(event.currentTarget.value)} />
      </label>
      <button type="submit" disabled={text.trim() === ''}>
        Write down
      </button>
    </form>
  );
}
