import type { App } from './app-context';

/** Opens an empty phrase for writing; what that needs is fetched when it is asked for. */
export async function beginPhrase(app: App): Promise<void> {
  try {
    const { writeNewPhrase } = await import('./new-phrase');
    await writeNewPhrase(app);
  } catch {
    app.notices.trouble('The page for writing could not be fetched.', [
      'Connect to the network once and load the page again; nothing of yours is lost.',
    ]);
  }
}
