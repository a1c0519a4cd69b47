/** Whether this page may act for the crew: it has their key, and there is a session to act in. Nothing can be written into a replay. */
import { computed } from '@preact/signals';
import { token } from './keys.ts';
import { session } from './live-state.ts';

export const mayAct = computed(() => token.value !== undefined && session.value?.mode !== 'replay');
