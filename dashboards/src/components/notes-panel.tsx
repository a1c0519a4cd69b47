/** What was written down during the session, and a form for more. */
import { useState } from 'preact/hooks';
import type { NoteEvent } from '../../../protocol/index.ts';
import { notes } from '../state/crew.ts';
import { token } from '../state/keys.ts';
import { session } from '../state/live-state.ts';
import { perform } from '../state/operator.ts';
import { shots } from '../state/shots.ts';
import { clockText } from '../text/time-text.ts';

const NOTE_CHARACTERS_MAX = 400;
const SHOTS_OFFERED = 20;

export function NotesPanel() {
  return (
    <section class="panel notes-panel" id="notes" aria-labelledby="notes-title">
      <h2 id="notes-title">Notes</h2>
      {token.value !== undefined && <NoteForm />}
      {notes.value.length === 0 ? (
        <p class="empty">None yet.</p>
      ) : (
        <ul class="note-list">
          {notes.value.map((note, index) => (
            <NoteRow key={`${note.atNs} ${notes.value.length - index}`} note={note} />
          ))}
        </ul>
      )}
    </section>
  );
}

function NoteRow({ note }: { readonly note: NoteEvent }) {
  const at = clockText((session.value?.originUtcMs ?? Number.NaN) + note.atNs / 1e6);
  const shot = shots.value.find(({ id }) => id === note.shotId);
  const about = note.shotId === undefined ? '' : shot ? `shot ${shot.number}` : note.shotId;
  return (
    <li>
      <p class="detail figures">{[at, note.who ?? '', about].filter((part) => part !== '').join(' · ')}</p>
      <p>{note.text}</p>
    </li>
  );
}

function NoteForm() {
  const [text, setText] = useState('');
  const [shotId, setShotId] = useState('');
  const write = async () => {
    const about = shotId === '' ? {} : { shotId };
    if (await perform({ act: 'note', text: text.trim(), ...about }, 'Note')) setText('');
  };
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim() !== '') void write();
      }}
    >
      <label class="grow">
        Note
        <textarea rows={2} maxLength={NOTE_CHARACTERS_MAX} value={text} onInput={(event) => setText(event.currentTarget.value)} />
      </label>
      <label>
        About
        <select value={shotId} onChange={(event) => setShotId(event.currentTarget.value)}>
          <option value="">the session</option>
          {shots.value.slice(0, SHOTS_OFFERED).map(({ id, number }) => (
            <option key={id} value={id}>
              shot {number}
            </option>
          ))}
        </select>
      </label>
      <button type="submit">Write down</button>
    </form>
  );
}
