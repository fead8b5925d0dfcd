/** What can go wrong in the store that a user must hear about. */

/** With the HTTP status that says it best. */
const STORE_STATUS = {
  "bad-name": 422,
  "not-found": 404,
  taken: 409,
  held: 423,
  "read-only": 507,
  "too-large": 413,
  "not-ours": 409,
} as const;

export type StoreCode = keyof typeof STORE_STATUS;

export class StoreError extends Error {
  readonly code: StoreCode;
  constructor(code: StoreCode, message: string) {
    super(message);
    this.name = "StoreError";
    this.code = code;
  }
  get status(): number {
    return STORE_STATUS[this.code];
  }
}
