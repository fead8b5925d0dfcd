/** What page and server must agree on before they can understand each other. */

/** The version of all messages; pages of another one are told to load again. */
export const WIRE = 1;

/** The one subprotocol that the sockets of page and server speak. */
export const SUBPROTOCOL = "countercut.v1";
