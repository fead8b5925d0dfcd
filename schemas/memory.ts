/**
 * What was worked out about an object, kept as long as the object is.
 *
 * It is used as a WeakMap is, and for one reason is none: to V8's small collections, which look at new objects alone,
 * an old WeakMap is a reason to keep all of its values, whether their keys are still there or not. What belongs to
 * the objects of one edit would so be kept until all of the memory is gone through, and with edits in a stream that
 * is most of what they leave. Here it is a private field of the object itself, which shows in no list of its fields.
 */
export class Memory<Key extends object, Value> {
  readonly #field = fieldFor<Value>();

  get(key: Key): Value | undefined {
    return this.#field.get(key);
  }

  set(key: Key, value: Value): void {
    this.#field.set(key, value);
  }
}

/** Stands for the object that it is made of, so that fields of its heirs become fields of that object. */
class Given {
  constructor(object: object) {
    // biome-ignore lint/correctness/noConstructorReturn: it is the one way to give a field to an object of another class.
    return object;
  }
}

/** One field, of its own among all others. */
function fieldFor<Value>() {
  return class Field extends Given {
    #value: Value;

    private constructor(object: object, value: Value) {
      super(object);
      this.#value = value;
    }

    static get(object: object): Value | undefined {
      return #value in object ? object.#value : undefined;
    }

    static set(object: object, value: Value): void {
      if (#value in object) object.#value = value;
      else new Field(object, value);
    }
  };
}
