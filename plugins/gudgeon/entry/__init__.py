"""Entry: what people type, or an instrument sends, becomes rows of the records; nothing is written before it is sound."""
