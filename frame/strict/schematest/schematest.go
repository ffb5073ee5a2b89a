// Package schematest holds files against a JSON Schema by a validator that shares
// nothing with the readers. It is for tests.
package schematest

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Validate returns what a schema says against a YAML file, and nil when it is valid. A
// file that is not YAML, or that holds what JSON cannot, is an error too.
func Validate(schema []byte, file string) error {
	compiled, err := compile(schema)
	if err != nil {
		return err
	}
	var value any
	if err := yaml.Unmarshal([]byte(file), &value); err != nil {
		return err
	}
	asJSON, err := json.Marshal(value)
	if err != nil {
		return err
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(asJSON))
	if err != nil {
		return err
	}
	return compiled.Validate(instance)
}

func compile(schema []byte) (*jsonschema.Schema, error) {
	const name = "schema.json"
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	if err != nil {
		return nil, fmt.Errorf("the schema is not JSON: %w", err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource(name, document); err != nil {
		return nil, err
	}
	return c.Compile(name)
}

// Undescribed returns where in a schema a property has no description, as paths.
func Undescribed(schema []byte) ([]string, error) {
	var document map[string]any
	if err := json.Unmarshal(schema, &document); err != nil {
		return nil, err
	}
	return undescribed("", document), nil
}

func undescribed(path string, schema map[string]any) []string {
	var missing []string
	properties, _ := schema["properties"].(map[string]any)
	for key, p := range properties {
		if text, _ := p.(map[string]any)["description"].(string); text == "" {
			missing = append(missing, path+"/"+key)
		}
	}
	definitions, _ := schema["$defs"].(map[string]any)
	for name, d := range definitions {
		missing = append(missing, undescribed(path+"/"+name, d.(map[string]any))...)
	}
	return missing
}
