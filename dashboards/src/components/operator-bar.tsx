/** Who acts on this page; or that it may only look. */
import { useState } from 'preact/hooks';
import { token } from '../state/keys.ts';
import { nameOperator, WHO_CHARACTERS_MAX, who } from '../state/operator.ts';

export function OperatorBar() {
  const [isEditing, setEditing] = useState(false);
  if (token.value === undefined) {
    return (
      <p class="operator">
        This page may only look. To tick, acknowledge and enter from here, open it by the address that the host printed when it started.
      </p>
    );
  }
  if (who.value !== '' && !isEditing) {
    return (
      <p class="operator">
        Acting as <strong>{who.value}</strong>.{' '}
        <button type="button" onClick={() => setEditing(true)}>
          Another name
        </button>
      </p>
    );
  }
  return <NameForm onNamed={() => setEditing(false)} />;
}

function NameForm({ onNamed }: { readonly onNamed: () => void }) {
  const [text, setText] = useState(who.peek());
  return (
    <form
      class="operator entry"
      onSubmit={(event) => {
        event.preventDefault();
        nameOperator(text);
        if (who.peek() !== '') onNamed();
      }}
    >
      <label>
        Your name
        <input
          id="who"
          type="text"
          autocomplete="nickname"
          maxLength={WHO_CHARACTERS_MAX}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
        />
      </label>
      <button type="submit">Use it</button>
    </form>
  );
}
