/** For the crew, while they set up: the rig file as it lies on the host's disk now, and each mistake in it with its place. */
import { signal } from '@preact/signals';
import type { RigFileCheck } from '../../../protocol/index.ts';
import { checkRigFile, rigFileCheck } from '../state/set-up.ts';
import { NumberedText } from './numbered-text.tsx';

const isBusy = signal(false);

async function check(): Promise<void> {
  isBusy.value = true;
  await checkRigFile();
  isBusy.value = false;
}

export function RigFileOnDisk() {
  const { value, problem } = rigFileCheck.value;
  return (
    <div class="on-disk">
      <h3>On the host’s disk now</h3>
      <p>Edit the file on the host’s computer, check it here, and start the host again when it is in order.</p>
      <button type="button" disabled={isBusy.value} onClick={() => void check()}>
        Check the file on disk
      </button>
      <div role="status">
        {problem !== '' && <p class="problem">It could not be checked: {problem}.</p>}
        {value && <Result of={value} />}
      </div>
    </div>
  );
}

function Result({ of: { fileName, text, isInForce, findings, lines } }: { readonly of: RigFileCheck }) {
  if (text === null) return <p class="problem">{lines[0]}</p>;
  if (findings.length === 0) {
    return (
      <>
        <p>
          <strong>{fileName} is in order.</strong>{' '}
          {isInForce ? 'It is the one in force.' : 'It has been changed: start the host again to have it in force.'}
        </p>
        <details class="fold">
          <summary>What the check says of it</summary>
          <ul class="check-lines">
            {lines.map((line, index) => (
              <li key={index}>{line}</li>
            ))}
          </ul>
        </details>
      </>
    );
  }
  return (
    <>
      <p class="problem">
        <strong>{fileName} would not be taken:</strong> {findings.length === 1 ? 'one mistake' : `${findings.length} mistakes`}. The session
        goes on with the file in force.
      </p>
      <ol class="findings">
        {findings.map(({ line, column, path, message }) => (
          <li key={`${line}:${column} ${path} ${message}`}>
            {line > 0 && (
              <b class="figures">
                Line {line}, column {column}
              </b>
            )}{' '}
            {path !== '' && <code>{path}</code>} {message}
          </li>
        ))}
      </ol>
      <details class="fold">
        <summary>The file as it was checked</summary>
        <NumberedText text={text} label={`${fileName} on disk`} marked={new Set(findings.map(({ line }) => line))} />
      </details>
    </>
  );
}
