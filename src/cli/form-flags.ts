import { standardForm } from '../core/form/standard';
import { fail, ok, type Result } from '../core/result';

/** Files and folders whose forms are listed beside the standard ones. */
export function readFormFiles(files: readonly string[]): Result<readonly string[]> {
  const named = files.find((f) => standardForm(f) !== undefined);
  if (named !== undefined) {
    return fail({
      message: `'${named}' is the name of a form, and forms takes files`,
      fix: "Leave it out: it is among those that are listed; 'degreewise solo --form' takes its name.",
    });
  }
  if (files.includes('')) {
    return fail({
      message: 'one of the files is named by nothing',
      fix: "Name each file; '' is left where a variable of the shell is empty.",
    });
  }
  return ok(files);
}
