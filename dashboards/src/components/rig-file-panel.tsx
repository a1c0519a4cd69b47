/** The rig file that is in force, what `postern check` says of it, and whether the one on disk would be taken. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { connection } from '../state/connection.ts';
import { session } from '../state/live-state.ts';
import { mayAct } from '../state/may-act.ts';
import { askRigFile, rigFile } from '../state/set-up.ts';
import { CopyButton } from './copy-button.tsx';
import { NumberedText } from './numbered-text.tsx';
import { RigFileOnDisk } from './rig-file-on-disk.tsx';

export function RigFilePanel() {
  const isConnected = connection.value === 'connected';
  const sessionId = session.value?.sessionId;
  useEffect(() => {
    if (isConnected) void askRigFile();
  }, [isConnected, sessionId]);
  const { value, problem } = rigFile.value;
  return (
    <section class="panel rig-file" aria-labelledby="rig-file-title">
      <h2 id="rig-file-title">Rig file</h2>
      {problem !== '' && <p class="notice">The rig file could not be asked for: {problem}.</p>}
      {!value && problem === '' && <p class="empty">Asking the host…</p>}
      {value && (
        <>
          <p>
            <strong>{value.fileName}</strong>{' '}
            {session.value?.mode === 'replay'
              ? 'is what this replay goes by.'
              : 'is in force as it was when the session began. A change to it counts from the next start of the host.'}
          </p>
          <details class="fold">
            <summary>What the check says of it</summary>
            <ul class="check-lines">
              {value.lines.map((line, index) => (
                <li key={index}>{line}</li>
              ))}
            </ul>
          </details>
          <Text text={value.text} name={value.fileName} />
        </>
      )}
      {mayAct.value && <RigFileOnDisk />}
    </section>
  );
}

/** Drawn when it is opened: a rig file may have thousands of lines. */
function Text({ text, name }: { readonly text: string; readonly name: string }) {
  const [isOpen, setOpen] = useState(false);
  const shown = useRef<HTMLPreElement>(null);
  return (
    <details class="fold" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>The file, {text.replace(/\n$/, '').split('\n').length} lines</summary>
      {isOpen && (
        <>
          <CopyButton label="Copy the file" of={shown} />
          <NumberedText text={text} label={name} of={shown} />
        </>
      )}
    </details>
  );
}
