/** Marking stills, and sending what was marked. */
import { useState } from 'preact/hooks';
import type { CameraSummary, Shot } from '../../../protocol/index.ts';
import {
  BALL,
  balls,
  clearMarks,
  current,
  marks,
  numberStill,
  openProblem,
  openStills,
  openTrack,
  showStill,
  stillIndex,
  stills,
  takeAway,
  target,
  track,
} from '../state/marking.ts';
import { mayAct } from '../state/may-act.ts';
import { perform } from '../state/operator.ts';
import { OperatorBar } from './operator-bar.tsx';
import { StillView } from './still-view.tsx';

/** As the host asks. */
const FRAMES_MIN = 3;

export function MarkingPanel({ shot, camera }: { readonly shot: Shot; readonly camera: CameraSummary }) {
  const [problem, setProblem] = useState('');
  const told = problem || openProblem.value;
  return (
    <section class="panel marking" aria-labelledby="marking-title">
      <h2 id="marking-title">Mark stills of camera {camera.name}</h2>
      <p class="note">
        Open stills of the clip, PNG or JPEG, each with its frame number in its name. Mark each range mark once, in any still, and the
        ball’s middle in three stills or more. Or open a track that a program has made, as text: a line <code>frame,x,y</code> a frame, and{' '}
        <code>name,x,y</code> a mark. Pictures and files stay in this browser; only the numbers go to the host.
      </p>
      <label class="open-stills">
        Stills
        <input
          type="file"
          accept="image/png,image/jpeg"
          multiple
          onChange={(event) => openStills([...(event.currentTarget.files ?? [])])}
        />
      </label>
      <label class="open-stills">
        Track
        <input
          type="file"
          accept=".csv,.txt,text/csv,text/plain"
          onChange={(event) => {
            const [file] = event.currentTarget.files ?? [];
            const names = camera.marks.map(({ name }) => name);
            // The same file may be chosen again once it is mended.
            event.currentTarget.value = '';
            if (file) void openTrack(file, names);
          }}
        />
      </label>
      {told !== '' && (
        <p class="problem" role="alert">
          {told}
        </p>
      )}
      {current.value && (
        <>
          <StillSteps onProblem={setProblem} />
          <Targets names={camera.marks.map(({ name }) => name)} />
          <StillView onProblem={setProblem} />
        </>
      )}
      <Marked />
      <Sending shot={shot} camera={camera} />
    </section>
  );
}

function StillSteps({ onProblem }: { readonly onProblem: (problem: string) => void }) {
  const index = stillIndex.value;
  const still = current.value;
  const enter = (text: string) => {
    const frame = /^\d{1,9}$/.test(text.trim()) ? Number(text) : undefined;
    const taken = stills.value.some((other) => other !== still && other.frame === frame);
    if (frame === undefined) onProblem('A frame’s number is a whole number from 0.');
    else if (taken) onProblem(`Another still is frame ${frame} already.`);
    else {
      onProblem('');
      numberStill(frame);
    }
  };
  return (
    <div class="still-steps">
      <button type="button" disabled={index === 0} onClick={() => showStill(index - 1)}>
        Still before
      </button>
      <span class="figures">
        {index + 1} of {stills.value.length}: {still?.file.name}
      </span>
      <button type="button" disabled={index + 1 >= stills.value.length} onClick={() => showStill(index + 1)}>
        Next still
      </button>
      <label>
        Frame number
        <input
          type="text"
          inputMode="numeric"
          key={still?.file.name}
          value={still?.frame ?? ''}
          onChange={(event) => enter(event.currentTarget.value)}
        />
      </label>
    </div>
  );
}

function Targets({ names }: { readonly names: readonly string[] }) {
  const frame = current.value?.frame;
  return (
    <fieldset class="segmented targets">
      <legend>What is marked next</legend>
      {[BALL, ...names].map((name) => {
        const isDone = name === BALL ? frame !== undefined && balls.value.has(frame) : marks.value[name] !== undefined;
        return (
          <label key={name} class={name === target.value ? 'chosen' : ''}>
            <input
              type="radio"
              name="target"
              checked={name === target.value}
              onChange={() => {
                target.value = name;
              }}
            />
            <span>
              {name === BALL ? 'Ball' : name}
              {isDone ? ' ✓' : ''}
            </span>
          </label>
        );
      })}
    </fieldset>
  );
}

function Marked() {
  const { marks: seen, frames } = track.value;
  if (seen.length + frames.length === 0) return null;
  const rows = [
    ...seen.map(({ name, xPx, yPx }) => ({ what: `mark ${name}`, xPx, yPx, gone: { mark: name } })),
    ...frames.map(({ frame, xPx, yPx }) => ({ what: `frame ${frame}`, xPx, yPx, gone: { frame } })),
  ];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="scrolling marked" tabIndex={0} aria-label="Marked so far">
      <table>
        <caption>
          Marked: {seen.length} marks, {frames.length} frames
        </caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">x, px</th>
            <th scope="col">y, px</th>
            <th scope="col">
              <span class="for-ears">Take away</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ what, xPx, yPx, gone }) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td class="figures">{xPx.toFixed(1)}</td>
              <td class="figures">{yPx.toFixed(1)}</td>
              <td>
                <button type="button" aria-label={`Take away ${what}`} onClick={() => takeAway(gone)}>
                  ×
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Sending({ shot, camera }: { readonly shot: Shot; readonly camera: CameraSummary }) {
  const [clip, setClip] = useState('');
  const { marks: seen, frames } = track.value;
  const missing = [
    seen.length < 2 ? `${2 - seen.length} more marks` : '',
    frames.length < FRAMES_MIN ? `${FRAMES_MIN - frames.length} more frames with the ball` : '',
  ].filter((text) => text !== '');
  const send = async () => {
    const act = { act: 'camera-track', shotId: shot.id, camera: camera.name, clip: clip.trim(), track: track.peek() } as const;
    if (await perform(act, `Track of camera ${camera.name}, shot ${shot.number}`)) setClip('');
  };
  return (
    <>
      <OperatorBar />
      <form
        class="entry"
        onSubmit={(event) => {
          event.preventDefault();
          void send();
        }}
      >
        <label>
          Name of the clip
          <input type="text" maxLength={120} value={clip} onInput={(event) => setClip(event.currentTarget.value)} />
        </label>
        {mayAct.value && (
          <button type="submit" disabled={missing.length > 0}>
            Keep with shot {shot.number}
          </button>
        )}
        {mayAct.value && (
          <button
            type="button"
            disabled={clip.trim() === ''}
            onClick={() =>
              void perform({ act: 'clip', shotId: shot.id, camera: camera.name, clip: clip.trim() }, `Clip of camera ${camera.name}`)
            }
          >
            Name the clip only
          </button>
        )}
        <button type="button" disabled={seen.length + frames.length === 0} onClick={clearMarks}>
          Clear all marks
        </button>
        {missing.length > 0 && <p class="note whole">Still to be marked: {missing.join(', ')}.</p>}
      </form>
    </>
  );
}
