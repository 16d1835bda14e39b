import { NotThere, onDemand } from '../shared/on-demand';
import type { App } from './app-context';
import { keepKeys, letKeysGo } from './keys-ahead';

const beginning = onDemand('What begins a phrase', () => import('./new-phrase'));

/** Opens an empty phrase for writing; what that needs is fetched when it is asked for. */
export async function beginPhrase(app: App): Promise<void> {
  keepKeys();
  try {
    const { writeNewPhrase } = await beginning.get();
    await writeNewPhrase(app);
  } catch (reason) {
    letKeysGo();
    if (!(reason instanceof NotThere)) throw reason;
    app.notices.trouble(reason.message);
  }
}
