//! The shape of what a type reads, found out from its `Deserialize` alone: the type is read again and again from
//! a reader that has nothing but notes what is asked of it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt;

use serde::de::value::BorrowedStrDeserializer;
use serde::de::{
    self, Deserialize, DeserializeSeed, Deserializer, EnumAccess, MapAccess, SeqAccess,
    VariantAccess, Visitor,
};

/// What may stand at a place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) enum Shape {
    /// Not asked for yet.
    #[default]
    Nothing,
    Text,
    Number,
    Whole,
    Truth,
    List(Box<Shape>),
    Tuple(Vec<Shape>),
    Struct(&'static str),
    Enum(&'static str),
    /// A word, or a row of answers with their words.
    WordOrRow,
    /// A text, or a list of them.
    TextOrTexts,
    /// Anything: it is read in another way later.
    Any,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Field {
    pub(crate) name: &'static str,
    pub(crate) shape: Shape,
    pub(crate) must: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Variant {
    Word,
    Values(Vec<Shape>),
    Fields(Vec<Field>),
}

/// Everything that was found out.
#[derive(Debug, Clone, Default)]
pub(crate) struct Kinds {
    pub(crate) structs: BTreeMap<&'static str, Vec<Field>>,
    pub(crate) enums: BTreeMap<&'static str, Vec<(&'static str, Variant)>>,
}

/// What is written where a raw value is asked for, one after the other until one is taken.
const RAW: [(&str, Shape); 5] = [
    ("{\"a\": 1}", Shape::Any),
    ("1.5", Shape::Number),
    ("1", Shape::Whole),
    ("Always", Shape::WordOrRow),
    ("\"a\"", Shape::TextOrTexts),
];

type Route = BTreeMap<&'static str, usize>;
/// A struct, or a variant of an enum.
type Holder = (&'static str, Option<usize>);

#[derive(Debug, Default)]
struct MachineState {
    kinds: Kinds,
    /// The names of an enum's variants, and the variants to be chosen round it so that it is reached.
    enums: BTreeMap<&'static str, (&'static [&'static str], Route)>,
    holders: BTreeMap<Holder, Route>,
    seen: BTreeMap<Holder, Vec<Field>>,
    variants: BTreeMap<(&'static str, usize), Variant>,
    route: Route,
    inside: Vec<(&'static str, usize)>,
    omit: Option<(Holder, &'static str)>,
    raw: BTreeMap<String, usize>,
    last_raw: Option<String>,
    path: Vec<String>,
}

/// The shapes of everything in the type.
pub(crate) fn trace<T: for<'de> Deserialize<'de>>() -> Kinds {
    let state = RefCell::new(MachineState::default());
    run::<T>(&state, &Route::new(), None).expect("a first reading");
    loop {
        let next = {
            let state = state.borrow();
            let mut open = state.enums.iter().flat_map(|(name, (variants, route))| {
                (0..variants.len()).map(move |at| (*name, at, route.clone()))
            });
            open.find(|(name, at, _)| !state.variants.contains_key(&(*name, *at)))
        };
        let Some((name, at, mut route)) = next else {
            break;
        };
        route.insert(name, at);
        run::<T>(&state, &route, None).expect("a reading of every variant");
        assert!(state.borrow().variants.contains_key(&(name, at)), "{name} {at} is not reached");
    }
    let holders: Vec<(Holder, Route)> =
        state.borrow().holders.iter().map(|(h, r)| (*h, r.clone())).collect();
    for (holder, mut route) in holders {
        if let (name, Some(at)) = holder {
            route.insert(name, at);
        }
        let fields = state.borrow().seen[&holder].clone();
        for (place, field) in fields.iter().enumerate() {
            let left_out = run::<T>(&state, &route, Some((holder, field.name)));
            state.borrow_mut().seen.get_mut(&holder).unwrap()[place].must = left_out.is_err();
        }
    }
    let mut state = state.into_inner();
    for ((name, variant), fields) in state.seen {
        match variant {
            None => drop(state.kinds.structs.insert(name, fields)),
            Some(at) => drop(state.variants.insert((name, at), Variant::Fields(fields))),
        }
    }
    for (name, (variants, _)) in state.enums {
        let all = variants.iter().enumerate();
        let all = all.map(|(at, word)| (*word, state.variants[&(name, at)].clone()));
        state.kinds.enums.insert(name, all.collect());
    }
    state.kinds
}

/// Reads the type once; a raw value that is not taken is tried in the next way.
fn run<T: for<'de> Deserialize<'de>>(
    state: &RefCell<MachineState>,
    route: &Route,
    omit: Option<(Holder, &'static str)>,
) -> Result<(), Refused> {
    loop {
        {
            let mut state = state.borrow_mut();
            state.route.clone_from(route);
            state.omit = omit;
            state.inside.clear();
            state.path.clear();
            state.last_raw = None;
        }
        let mut shape = Shape::Nothing;
        let read = T::deserialize(Tracer { state, shape: &mut shape });
        let Err(refused) = read else { return Ok(()) };
        if let (Refused::Missing(field), Some((_, left_out))) = (&refused, omit)
            && *field == left_out
        {
            return Err(refused);
        }
        let mut state = state.borrow_mut();
        let Some(raw) = state.last_raw.clone() else {
            return Err(refused);
        };
        let way = state.raw.entry(raw).or_default();
        *way += 1;
        if *way >= RAW.len() {
            return Err(refused);
        }
    }
}

#[derive(Debug)]
pub(crate) enum Refused {
    Missing(&'static str),
    Said(String),
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(field) => write!(f, "missing: {field}"),
            Self::Said(words) => f.write_str(words),
        }
    }
}

impl std::error::Error for Refused {}

impl de::Error for Refused {
    fn custom<T: fmt::Display>(said: T) -> Self {
        Self::Said(said.to_string())
    }
    fn missing_field(field: &'static str) -> Self {
        Self::Missing(field)
    }
}

/// A reader of one value.
struct Tracer<'t> {
    state: &'t RefCell<MachineState>,
    shape: &'t mut Shape,
}

impl Tracer<'_> {
    /// Reads fields of a struct or of a variant.
    fn fields<'de, V: Visitor<'de>>(
        self,
        holder: Holder,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Refused> {
        {
            let mut state = self.state.borrow_mut();
            let round = state.inside.iter().filter(|(name, _)| *name != holder.0);
            let route = round.copied().collect();
            state.holders.entry(holder).or_insert(route);
        }
        let mut seen = Vec::new();
        let value = visitor.visit_map(Fields {
            state: self.state,
            holder,
            left: fields.iter(),
            now: None,
            seen: &mut seen,
        })?;
        let mut state = self.state.borrow_mut();
        if state.omit.is_none() {
            state.seen.entry(holder).or_insert(seen);
        }
        Ok(value)
    }

    fn values<'de, V: Visitor<'de>>(
        &self,
        name: &str,
        number: usize,
        visitor: V,
    ) -> Result<(V::Value, Vec<Shape>), Refused> {
        let mut shapes = Vec::new();
        let value = visitor.visit_seq(Values {
            state: self.state,
            name: name.to_owned(),
            left: number,
            shapes: &mut shapes,
        })?;
        Ok((value, shapes))
    }
}

macro_rules! simple {
    ($($method:ident $shape:ident $visit:ident($value:expr);)*) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
            *self.shape = Shape::$shape;
            visitor.$visit($value)
        }
    )*};
}

impl<'de> Deserializer<'de> for Tracer<'_> {
    type Error = Refused;

    simple! {
        deserialize_str Text visit_borrowed_str("a");
        deserialize_string Text visit_borrowed_str("a");
        deserialize_bool Truth visit_bool(true);
        deserialize_f64 Number visit_f64(0.5);
        deserialize_u32 Whole visit_u32(1);
        deserialize_u64 Whole visit_u64(1);
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Refused> {
        Err(Refused::Said("nothing asks for just anything".to_owned()))
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_some(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        let (value, shapes) = self.values("[", 1, visitor)?;
        *self.shape = Shape::List(Box::new(shapes.into_iter().next().unwrap_or_default()));
        Ok(value)
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        len: usize,
        visitor: V,
    ) -> Result<V::Value, Refused> {
        let (value, shapes) = self.values("(", len, visitor)?;
        *self.shape = Shape::Tuple(shapes);
        Ok(value)
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        len: usize,
        visitor: V,
    ) -> Result<V::Value, Refused> {
        let (value, shapes) = self.values(name, len, visitor)?;
        *self.shape = Shape::Tuple(shapes);
        Ok(value)
    }

    /// Only raw values come this way.
    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Refused> {
        let mut state = self.state.borrow_mut();
        let path = state.path.last().cloned().unwrap_or_default();
        let way = *state.raw.entry(path.clone()).or_default();
        state.last_raw = Some(path);
        drop(state);
        let (text, shape) = &RAW[way.min(RAW.len() - 1)];
        *self.shape = shape.clone();
        visitor.visit_borrowed_str(text)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Refused> {
        *self.shape = Shape::Struct(name);
        self.fields((name, None), fields, visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Refused> {
        *self.shape = Shape::Enum(name);
        let at = {
            let mut state = self.state.borrow_mut();
            let route: Route = state.inside.iter().copied().collect();
            state.enums.entry(name).or_insert((variants, route));
            // Within itself the first variant, which holds no other of the kind.
            let again = state.inside.iter().any(|(inside, _)| *inside == name);
            let at = if again { 0 } else { state.route.get(name).copied().unwrap_or(0) };
            state.inside.push((name, at));
            at
        };
        let value = visitor.visit_enum(Chosen { tracer: self, name, at, word: variants[at] })?;
        Ok(value)
    }

    serde::forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u128 f32 char bytes byte_buf unit unit_struct map identifier ignored_any
    }
}

/// Reads what stands below, at `path`, and tells its shape.
fn below<'de, S: DeserializeSeed<'de>>(
    state: &RefCell<MachineState>,
    path: String,
    seed: S,
) -> Result<(S::Value, Shape), Refused> {
    let mut shape = Shape::Nothing;
    state.borrow_mut().path.push(path);
    let value = seed.deserialize(Tracer { state, shape: &mut shape })?;
    state.borrow_mut().path.pop();
    Ok((value, shape))
}

/// The fields of a struct, one after the other.
struct Fields<'t> {
    state: &'t RefCell<MachineState>,
    holder: Holder,
    left: std::slice::Iter<'static, &'static str>,
    now: Option<&'static str>,
    seen: &'t mut Vec<Field>,
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = Refused;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Refused> {
        let omit = self.state.borrow().omit;
        let left_out = |field: &&'static str| omit == Some((self.holder, *field));
        self.now = self.left.by_ref().copied().find(|field| !left_out(field));
        let Some(field) = self.now else {
            return Ok(None);
        };
        seed.deserialize(BorrowedStrDeserializer::new(field)).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Refused> {
        let name = self.now.unwrap_or("");
        let (holder, variant) = self.holder;
        let path = format!("{holder}.{}.{name}", variant.map_or(0, |place| place + 1));
        let (value, shape) = below(self.state, path, seed)?;
        self.seen.push(Field { name, shape, must: false });
        Ok(value)
    }
}

/// Values without names, one after the other.
struct Values<'t> {
    state: &'t RefCell<MachineState>,
    name: String,
    left: usize,
    shapes: &'t mut Vec<Shape>,
}

impl<'de> SeqAccess<'de> for Values<'_> {
    type Error = Refused;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Refused> {
        if self.left == 0 {
            return Ok(None);
        }
        self.left -= 1;
        let outer = self.state.borrow().path.last().cloned().unwrap_or_default();
        let path = format!("{outer}/{}{}", self.name, self.left);
        let (value, shape) = below(self.state, path, seed)?;
        self.shapes.push(shape);
        Ok(Some(value))
    }
}

/// A variant that was chosen.
struct Chosen<'t> {
    tracer: Tracer<'t>,
    name: &'static str,
    at: usize,
    word: &'static str,
}

impl Chosen<'_> {
    fn done(&self, variant: Variant) {
        let mut state = self.tracer.state.borrow_mut();
        state.inside.pop();
        if state.omit.is_none() {
            state.variants.entry((self.name, self.at)).or_insert(variant);
        }
    }
}

impl<'de> EnumAccess<'de> for Chosen<'_> {
    type Error = Refused;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self), Refused> {
        let value = seed.deserialize(Word(self.word))?;
        Ok((value, self))
    }
}

impl<'de> VariantAccess<'de> for Chosen<'_> {
    type Error = Refused;

    fn unit_variant(self) -> Result<(), Refused> {
        self.done(Variant::Word);
        Ok(())
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Refused> {
        let mut shape = Shape::Nothing;
        let value = seed.deserialize(Tracer { state: self.tracer.state, shape: &mut shape })?;
        self.done(Variant::Values(vec![shape]));
        Ok(value)
    }

    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, Refused> {
        let (value, shapes) = self.tracer.values(self.word, len, visitor)?;
        self.done(Variant::Values(shapes));
        Ok(value)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Refused> {
        let mut shape = Shape::Nothing;
        let tracer = Tracer { state: self.tracer.state, shape: &mut shape };
        let value = tracer.fields((self.name, Some(self.at)), fields, visitor)?;
        self.done(Variant::Fields(Vec::new()));
        Ok(value)
    }
}

/// The name of a variant, asked for as an identifier.
struct Word(&'static str);

impl<'de> Deserializer<'de> for Word {
    type Error = Refused;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Refused> {
        visitor.visit_str(self.0)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}
