/** An act that needs a reason: what else it needs, why, and the button that does it. */
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';

const REASON_CHARACTERS_MAX = 200;

export interface ReasonFormProps {
  /** Of the field, such as `Why shot 3 is left out`. */
  readonly why: string;
  readonly verb: string;
  /** Whether all else that it needs is there; it is, where nothing is said. */
  readonly isReady?: boolean;
  /** @returns whether it was done: the reason is wiped then */
  readonly onDo: (reason: string) => Promise<boolean>;
  /** Fields before the reason. */
  readonly children?: ComponentChildren;
}

export function ReasonForm({ why, verb, isReady = true, onDo, children }: ReasonFormProps) {
  const [reason, setReason] = useState('');
  const isWhole = isReady && reason.trim() !== '';
  const send = async () => {
    if (await onDo(reason.trim())) setReason('');
  };
  return (
    <form
      class="entry"
      onSubmit={(event) => {
        event.preventDefault();
        if (isWhole) void send();
      }}
    >
      {children}
      <label class="grow">
        {why}
        <input type="text" maxLength={REASON_CHARACTERS_MAX} value={reason} onInput={(event) => setReason(event.currentTarget.value)} />
      </label>
      <button type="submit" disabled={!isWhole}>
        {verb}
      </button>
    </form>
  );
}
