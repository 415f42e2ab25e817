declare const __BITTEREND_VERSION__: string;

/** The version of this program; the build puts it in. */
export const version = __BITTEREND_VERSION__;
