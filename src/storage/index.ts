export { openLibrary, queueFor, watchPage } from './browser';
export type * from './edit-types';
export { type HistoryStore, openHistories } from './history-store';
export { historiesLater } from './later-histories';
export { createMemoryStore, type MemoryStoreOptions } from './memory';
export { createSaveQueue, type QueueDeps } from './queue';
export { randomId } from './random-id';
export * from './types';
