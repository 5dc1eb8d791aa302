//! Looks over ron's shoulder: the place of a word or number, without reading it twice.
//!
//! A derived enum asks its deserializer for an identifier; ron lends out the slice of the text that it
//! is. This passes the request on and notes the slice's place. Numbers are no slices: they are read
//! from their raw text.

use std::cell::Cell;
use std::fmt;

use ron::value::RawValue;
use serde::de::{self, Deserialize, DeserializeSeed, Deserializer, EnumAccess, Visitor};

use super::Span;
use super::reading::{expects, inner, raw, seen, seen_word};

/// A deserializer of enums and numbers that notes the place of what it reads.
pub(super) struct Watch<'w, D> {
    /// Who does the work.
    pub(super) inner: D,
    /// Where the place is noted.
    pub(super) span: &'w Cell<Span>,
}

/// Reads a number from its raw text.
macro_rules! number {
    ($method:ident, $visit:ident, $number:ty) => {
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
            let text = raw(<&'de RawValue>::deserialize(self.inner)?);
            self.span.set(seen(text));
            visitor.$visit(inner::<$number, D::Error>(text)?)
        }
    };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Watch<'_, D> {
    type Error = D::Error;

    number!(deserialize_f64, visit_f64, f64);
    number!(deserialize_u32, visit_u32, u32);
    number!(deserialize_u64, visit_u64, u64);

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        expects(variants);
        self.inner.deserialize_enum(name, variants, Noting { inner: visitor, span: self.span })
    }

    // Raw texts come this way.
    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        visitor: V,
    ) -> Result<V::Value, D::Error> {
        self.inner.deserialize_newtype_struct(name, Noting { inner: visitor, span: self.span })
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, D::Error> {
        Err(de::Error::custom("only words and numbers have places here"))
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u128 f32 char str string bytes byte_buf option unit unit_struct
        seq tuple tuple_struct map struct identifier ignored_any
    }
}

/// A visitor, deserializer or seed that notes the slice which passes through it.
struct Noting<'w, T> {
    inner: T,
    span: &'w Cell<Span>,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Noting<'_, V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.inner.expecting(f)
    }

    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<V::Value, A::Error> {
        self.inner.visit_enum(Noting { inner: access, span: self.span })
    }

    fn visit_borrowed_str<E: de::Error>(self, raw: &'de str) -> Result<V::Value, E> {
        self.span.set(seen(raw));
        self.inner.visit_borrowed_str(raw)
    }
}

impl<'de, A: EnumAccess<'de>> EnumAccess<'de> for Noting<'_, A> {
    type Error = A::Error;
    type Variant = A::Variant;

    fn variant_seed<S: DeserializeSeed<'de>>(
        self,
        seed: S,
    ) -> Result<(S::Value, A::Variant), A::Error> {
        self.inner.variant_seed(Noting { inner: seed, span: self.span })
    }
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Noting<'_, S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<S::Value, D::Error> {
        self.inner.deserialize(Name { inner: deserializer, span: self.span })
    }
}

/// The deserializer of a variant's name.
struct Name<'w, D> {
    inner: D,
    span: &'w Cell<Span>,
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Name<'_, D> {
    type Error = D::Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, D::Error> {
        self.inner.deserialize_identifier(Word { inner: visitor, span: self.span })
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

/// The visitor of a variant's name.
struct Word<'w, V> {
    inner: V,
    span: &'w Cell<Span>,
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Word<'_, V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.inner.expecting(f)
    }

    fn visit_borrowed_str<E: de::Error>(self, word: &'de str) -> Result<V::Value, E> {
        self.span.set(seen_word(word));
        self.inner.visit_borrowed_str(word)
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<V::Value, E> {
        self.inner.visit_str(word)
    }
}
