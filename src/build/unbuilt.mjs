import { register } from 'node:module';

/*
 * For the command line that runs from its sources (`npm run cli`): what the build makes of the page of a lesson is made
 * when it is asked for, by the plugin of the build. Node 20 runs such hooks in a thread of their own.
 */
register('./unbuilt-hooks.mjs', import.meta.url);
