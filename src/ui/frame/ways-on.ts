import type { Action } from './actions';
import type { App } from './app-context';
import { beginPhrase } from './begin-phrase';
import type { PageName } from './route';
import { navigate } from './use-route';

/**
 * What begins or stands on a page of its own, and can be asked for from every other: not from that page itself, where
 * its address without a query would take away what is chosen there.
 */
export function waysOn(app: App, here: PageName): readonly Action[] {
  const ways: readonly Action[] = [
    {
      id: 'library.write',
      title: 'Write a new phrase',
      group: 'Library',
      words: 'begin create empty lick',
      run: () => void beginPhrase(app),
    },
    {
      id: 'library.solo',
      title: 'Lay phrases over a song form',
      group: 'Library',
      words: 'solo chorus blues form',
      run: () => navigate({ page: 'solo', query: {} }),
    },
    {
      id: 'library.lessons',
      title: 'See the lessons',
      group: 'Library',
      words: 'students handout homework',
      run: () => navigate({ page: 'lessons', query: {} }),
    },
    {
      id: 'library.collections',
      title: 'See the collections and saved questions',
      group: 'Library',
      words: 'sets folders searches week student',
      run: () => navigate({ page: 'collections', query: {} }),
    },
    {
      id: 'library.tags',
      title: 'Rename and merge tags',
      group: 'Library',
      words: 'labels keywords',
      run: () => navigate({ page: 'tags', query: {} }),
    },
    {
      id: 'library.removed',
      title: 'See what was removed',
      group: 'Library',
      words: 'trash bin deleted restore bring back',
      run: () => navigate({ page: 'removed', query: {} }),
    },
    {
      id: 'library.catch',
      title: 'Catch what I play as phrases',
      group: 'Library',
      words: 'record microphone listen recording audio wav',
      run: () => navigate({ page: 'catch', query: {} }),
    },
  ];
  return ways.filter((a) => a.id !== `library.${here}`);
}
