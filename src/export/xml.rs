//! Words in XML.

use std::fmt::Write;

/// Words as text or as an attribute in double quotes; what XML cannot hold, control characters, made spaces.
pub(crate) fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&apos;"),
            '\u{fffe}' | '\u{ffff}' => out.push(' '),
            _ if letter.is_control() => out.push(' '),
            _ => out.push(letter),
        }
    }
    out
}

/// What a document is called, for readers of metadata (ISO 16684-1, of which this is the least).
pub(crate) fn metadata(title: &str) -> String {
    let mut out = String::from("<?xpacket begin=\"\u{feff}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>");
    let _ = write!(
        out,
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\
         <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\">\
         <dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{}</rdf:li></rdf:Alt></dc:title>\
         <dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>\
         </rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end=\"r\"?>",
        escaped(title)
    );
    out
}

#[cfg(test)]
mod tests {
    use super::escaped;

    #[test]
    fn words_stay_words() {
        assert_eq!(escaped("Oar \"rack\" <&>"), "Oar &quot;rack&quot; &lt;&amp;&gt;");
        assert_eq!(escaped("a\u{7}b\nc\u{fffe}"), "a b c ");
    }
}
